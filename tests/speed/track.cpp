#include "speed/track.hpp"

#include "within.hpp"

using namespace cranknote;
using cranknote::test::within;

namespace {
// 600 rpm for the first second, rising to 1200 at 3 s, back to 900 at 4 s.
const SpeedTrack track{{Seconds{1}, Seconds{3}, Seconds{4}}, {Rpm{600}, Rpm{1200}, Rpm{900}}};
}  // namespace

TEST_CASE("Between its knots a track is linear, outside it keeps the nearest value") {
    CHECK(track.speed_at(Seconds{0}) == Rpm{600});
    CHECK(track.speed_at(Seconds{1}) == Rpm{600});
    CHECK_THAT(track.speed_at(Seconds{2}).value(), within(900, 1e-9, "half way, double rounding"));
    CHECK_THAT(track.speed_at(Seconds{3.5}).value(), within(1050, 1e-9, "half way, double rounding"));
    CHECK(track.speed_at(Seconds{9}) == Rpm{900});
}

TEST_CASE("Turns are the exact integral of the straight lines") {
    // 1 s at 10/s, 2 s at 15/s on average, 1 s at 17.5/s, then 15/s (computed by hand).
    const auto turns = [](double a, double b) { return track.turns_between(Seconds{a}, Seconds{b}); };
    CHECK_THAT(turns(0, 1), within(10.0, 1e-12, "double rounding"));
    CHECK_THAT(turns(1, 3), within(30.0, 1e-12, "double rounding"));
    CHECK_THAT(turns(3, 4), within(17.5, 1e-12, "double rounding"));
    CHECK_THAT(turns(0, 6), within(87.5, 1e-12, "double rounding"));
    CHECK_THAT(turns(1.5, 2.5), within(15.0, 1e-12, "symmetric about 900 rpm"));
    CHECK_THAT(track.turns_at(Seconds{2}), within(10.0 + 12.5, 1e-12, "10/s to 15/s in one second"));
}

TEST_CASE("An empty track has no speed and turns nothing") {
    const SpeedTrack none;
    CHECK(none.empty());
    CHECK(none.speed_at(Seconds{1}) == Rpm{0});
    CHECK(none.turns_between(Seconds{0}, Seconds{10}) == 0.0);
}

TEST_CASE("A scaled track turns as many times more") {
    const auto twice = track.scaled(2.0);
    CHECK_THAT(twice.turns_at(Seconds{5}), within(2.0 * track.turns_at(Seconds{5}), 1e-9, "double rounding"));
}
