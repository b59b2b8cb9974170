// The simulator's own turning model against worked numbers.
#include <catch2/catch.hpp>

#include "simulate/course.hpp"
#include "simulate/engine.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::simulate;
using cranknote::test::within;

namespace {

TruePart pulley(std::string name, std::string drive, double pitch_mm) {
    TruePart p;
    p.name = std::move(name);
    p.drive = std::move(drive);
    p.pitch_mm = pitch_mm;
    return p;
}

}  // namespace

TEST_CASE("pulleys turn by the quotient of pitch diameters, loops by pitch circle over length") {
    Engine e;
    e.parts = {pulley("crank pulley", "", 154.0), pulley("alternator", "belt", 59.0),
               pulley("idler", "belt", 74.0)};
    TrueDrive belt;
    belt.name = "belt";
    belt.kind = "ribbed";
    belt.driver = "crank pulley";
    belt.length_mm = 2000.0;
    e.drives = {belt};
    set_turning(e);
    // Computed: 154/59 and 154/74, pi 154/2000.
    CHECK_THAT(e.part("alternator")->turns, within(2.6102, 0.00005, "four printed decimals"));
    CHECK_THAT(e.part("idler")->turns, within(2.0811, 0.00005, "four printed decimals"));
    CHECK_THAT(e.drive("belt")->turns, within(0.2419, 0.00005, "four printed decimals"));
}

TEST_CASE("bearing rates are the published ones") {
    // 6205 and 6203 as published with a university's bearing recordings; its ball column is twice the ball's
    // spin.
    const auto large = rates_of({"6205", 9, 7.94004, 39.0398, false});
    CHECK_THAT(large.inner, within(5.4152, 0.0001, "four printed decimals"));
    CHECK_THAT(large.outer, within(3.5848, 0.0001, "four printed decimals"));
    CHECK_THAT(large.ball, within(4.7135, 0.0002, "published figure is rounded from inches"));
    const auto small = rates_of({"6203", 8, 6.74624, 28.4988, true});
    CHECK_THAT(small.inner, within(4.9469, 0.0001, "four printed decimals"));
    CHECK_THAT(small.cage, within(0.6184, 0.0001, "computed: (1 + d/D)/2 with the outer ring turning"));
}

TEST_CASE("what loses its drive stands still, through shafts and drives") {
    for (std::uint64_t seed = 1; seed < 60; ++seed) {
        const auto e = make_engine(seed);
        for (const auto& d : e.drives) {
            const auto still = still_set(e, {d.name});
            CHECK(still.contains(d.name));
            for (const auto& p : e.parts) {
                const auto* on = p.on_shaft_of.empty() ? &p : e.part(p.on_shaft_of);
                CHECK(still.contains(p.name) == (on->drive == d.name));
            }
        }
    }
}

TEST_CASE("every engine's parts turn as they should") {
    for (std::uint64_t seed = 1; seed < 200; ++seed) {
        const auto e = make_engine(seed);
        INFO("engine " << seed);
        for (const auto& p : e.parts) {
            if (p.kind == "cam wheel")
                CHECK_THAT(p.turns, within(0.5, 1e-12, "a camshaft turns at half crank speed"));
            if (p.kind == "alternator" && !e.motorcycle) {
                CHECK(p.turns >
                      1.7);  // 130 to 190 mm over 48 to 72 mm, less the depth of a vee: common practice
                CHECK(p.turns < 4.2);
            }
            if (!p.electric) CHECK(p.turns > 0.0);
        }
        CHECK(static_cast<int>(e.firing_order.size()) == e.cylinders);
        CHECK(e.firing_deg.size() == e.firing_order.size());
    }
}

TEST_CASE("passings are where the angle says") {
    std::vector<double> turns(10001);
    for (std::size_t i = 0; i < turns.size(); ++i) turns[i] = 0.001 * static_cast<double>(i);  // 10 turns
    const auto at = passings(turns, 0.5, -0.25);
    REQUIRE(at.size() == 5);
    CHECK_THAT(at.front(), within(500.0, 1e-6, "0.5 turns x 0.5 - 0.25 = 0"));
    CHECK_THAT(at.back(), within(8500.0, 1e-6, "a cycle is 2000 samples here"));
}
