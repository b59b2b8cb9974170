#include "speed/at_moment.hpp"

#include "within.hpp"

using namespace cranknote;

namespace {

SpeedReading running(double from, double to) {
    SpeedReading r;
    r.mean = Rpm{820};
    r.track = {{Seconds{from}, Seconds{to}}, {Rpm{810}, Rpm{830}}};
    r.running.used = {Seconds{from}, Seconds{to}};
    return r;
}

const std::pair whole{Seconds{0}, Seconds{12}};

}  // namespace

TEST_CASE("A moment while the engine runs has the track's speed") {
    const auto at = speed_at_moment(running(0, 12), Seconds{6}, whole);
    REQUIRE(at.rpm);
    CHECK_THAT(at.rpm->value(), cranknote::test::within(820, 1e-9, "half way, double rounding"));
}

TEST_CASE("Any other moment says why it cannot be told") {
    auto r = running(3, 10);
    r.running.starts = Seconds{3}, r.running.stops = Seconds{10.5};
    const auto why = [&](double t) { return speed_at_moment(r, Seconds{t}, whole).why; };
    CHECK(why(0.5) == "engine not running at 0.5 s");
    CHECK(why(11.25) == "engine not running at 11.25 s");
    CHECK(why(10.2) == "the speed can be followed from 3.0 s to 10.0 s only, not at 10.2 s");
    CHECK(why(13) == "only 0.0 s to 12.0 s was read, not 13.0 s");
    r.mean.reset(), r.track = {};
    CHECK(why(5) == "the speed of this recording is not known");
    r.running.no_engine = true;
    CHECK(why(5) == "no running engine is heard");
    for (const double t : {0.5, 5.0, 13.0}) CHECK_FALSE(speed_at_moment(r, Seconds{t}, whole).rpm);
}
