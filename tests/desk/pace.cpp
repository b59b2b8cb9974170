// At most 15 frames a second while recording, at most 60 otherwise, none while nothing happens.
#include "desk/pace.hpp"

#include <catch2/catch.hpp>

using namespace cranknote::desk;
using namespace std::chrono_literals;

namespace {

/// Frames in a second of a pointer that never rests: one is wished for every millisecond.
int frames_in_a_second(bool recording) {
    Pace pace;
    Pace::Clock::time_point now{}, end = now + 1s;
    int frames = 0;
    while (true) {
        const auto at = pace.next(recording, now);
        if (at >= end) return frames;
        ++frames;
        now = at + 1ms;
    }
}

}  // namespace

TEST_CASE("a restless pointer gets 15 frames a second while recording, 60 otherwise") {
    CHECK(frames_in_a_second(true) == 15);
    CHECK(frames_in_a_second(false) == 60);
}

TEST_CASE("nothing is drawn until something happens") {
    CHECK_FALSE(Pace::wait(false, false));
    CHECK(Pace::wait(true, false) == 0.0);
    REQUIRE(Pace::wait(false, true));
    CHECK(*Pace::wait(false, true) >= 1.0 / 15.0);
}
