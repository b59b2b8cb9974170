#include "speed/evenness.hpp"

#include <cmath>
#include <string>

#include "clamp_sound.hpp"
#include "engine_sound.hpp"
#include "speed/from_sound.hpp"
#include "speed/with_pickup.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

/// With a gauge's reading: cylinders quite alike leave open which multiple it is.
SpeedSettings four() {
    SpeedSettings s;
    s.cylinders = 4, s.tag = SpeedTag{Rpm{800}, Rpm{40}};
    return s;
}

Evenness heard(const EngineSound& e, double rpm = 800.0) {
    const auto r = speed_from_sound(engine_sound(e, steady(rpm)), SampleRate{e.rate}, four());
    REQUIRE(r.mean);
    REQUIRE(r.evenness);
    return *r.evenness;
}

EngineSound alike() {
    EngineSound e;
    e.unlike = 0.0, e.noise = 0.1, e.seconds = 15.0;
    return e;
}

}  // namespace

TEST_CASE("Cylinders that are alike are even within what the recording can tell") {
    const auto e = heard(alike());
    REQUIRE(e.unlike);
    CHECK(*e.unlike < 0.05);
    CHECK(e.text.find("evenly within what this recording can tell") != std::string::npos);
}

TEST_CASE("A cylinder that does not fire is heard between the firing lines") {
    auto e = alike();
    e.firing_deg = {10.0, 190.0, 550.0};  // the third of four is missing
    e.cylinders = 3;
    const auto r = heard(e);
    REQUIRE(r.unlike);
    // Strengths 1, 1, 0, 1: mean 0.75, deviation 0.5 (n - 1), so 0.667 (computed).
    CHECK_THAT(*r.unlike, within(0.667, 0.1, "the lines between are interpolated over resonances"));
    CHECK(r.interval.first > 0.3);
    // It is measured; a verdict from one recording by sound alone would accuse healthy engines (see the
    // text).
    CHECK(r.text.find("A rise against an earlier recording") != std::string::npos);
}

TEST_CASE("What cannot be told is said, with the reason") {
    const auto why = [](const EngineSound& e, SpeedSettings s) {
        const auto r = speed_from_sound(engine_sound(e, steady(800.0)), SampleRate{e.rate}, s);
        REQUIRE(r.evenness);
        CHECK_FALSE(r.evenness->unlike);
        CHECK(r.evenness->text.find("cannot tell. ") != std::string::npos);
        return r.evenness->text;
    };
    auto phone = alike();
    phone.low_cut = 3000.0, phone.noise = 1.0;  // two poles only, so high up
    CHECK(why(phone, four()).find("a phone's low cut hides them") != std::string::npos);
    auto by_design = four();
    by_design.fires_evenly = false;
    CHECK(why(alike(), by_design).find("by design") != std::string::npos);
    auto brief = alike();
    brief.seconds = 3.0;
    CHECK(why(brief, four()).find("too short") != std::string::npos);
}

TEST_CASE("With a pickup a weak cylinder is found by its place after the pulse, and named") {
    Clamp c;
    c.seconds = 10.0;
    const auto pulses = clamp_sound(c, steady(800.0));
    EngineSound e;
    e.rate = 48000.0, e.unlike = 0.0, e.firing_deg = {10.0, 190.0, 550.0};  // the third does not fire
    auto s = four();
    s.firing_order = {1, 3, 4, 2};
    PickupSettings how;
    how.pulses_per_turn = 0.5, how.cylinder = 3;
    const auto r = speed_with_pickup(engine_sound(e, steady(800.0)), pulses, SampleRate{e.rate}, s, how);
    CHECK(r.source == SpeedSource::pickup);
    CHECK(r.mean_from == SpeedSource::pickup);
    REQUIRE(r.evenness);
    const auto& even = *r.evenness;
    CHECK(even.numbers == std::vector<int>{3, 4, 2, 1});
    REQUIRE(even.cylinders.size() == 4);
    for (const std::size_t other : {0U, 1U, 3U})
        CHECK(even.cylinders[2].level + even.cylinders[2].plus_minus <
              even.cylinders[other].level - even.cylinders[other].plus_minus);
    INFO(even.text);
    CHECK(even.text.find("unevenly") != std::string::npos);
    CHECK(even.text.find("cylinder 2 is ") != std::string::npos);
    CHECK(even.interval.first > 0.05);
}

TEST_CASE("Cylinders alike are even with a pickup too, and each interval holds") {
    Clamp c;
    int held = 0, all = 0, even = 0;
    for (std::uint64_t seed = 1; seed <= 12; ++seed) {
        EngineSound e;
        e.rate = 48000.0, e.unlike = 0.0, e.ragged = 0.15, e.seed = seed;
        e.firing_deg = {10.0, 190.0, 370.0, 550.0};
        const auto pulses = clamp_sound(c, steady(800.0));
        PickupSettings how;
        how.pulses_per_turn = 0.5;
        const auto p = speed_from_pickup(pulses, SampleRate{e.rate}, how);
        const auto r = evenness_by_cylinder(engine_sound(e, steady(800.0)), SampleRate{e.rate}, p, 4);
        for (const auto& l : r.cylinders) ++all, held += std::abs(l.level.value()) <= l.plus_minus.value();
        even += r.interval.first <= 0.0;
    }
    INFO(held << " of " << all << " intervals, " << even << " of 12 even");
    CHECK(held >= 42);  // of 48; 95 % are 45.6, and 42 or fewer come by chance once in 40 (binomial)
    CHECK(even >= 10);  // 95 % of 12 are 11.4
}
