#include "speed/pickup.hpp"

#include <cmath>
#include <numbers>

#include "clamp_sound.hpp"
#include "engine_sound.hpp"
#include "speed/with_pickup.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

constexpr double rate = 48000.0;

PickupSettings per(double n) {
    PickupSettings s;
    s.pulses_per_turn = n;
    return s;
}

}  // namespace

TEST_CASE("A ringing clamp on a plug lead gives the speed, either way round") {
    for (const float sign : {1.0F, -1.0F}) {
        Clamp c;
        c.sign = sign;
        const auto r = speed_from_pickup(clamp_sound(c, steady(812.5)), SampleRate{rate}, per(0.5));
        REQUIRE(r.speed.mean);
        CHECK_THAT(
            r.speed.mean->value(),
            within(812.5, 0.02, "two samples in ten seconds are 0.003 rpm; noise on the rise adds some"));
        CHECK(r.speed.source == SpeedSource::pickup);
        CHECK(r.pulses.negative == (sign < 0.0F));
        CHECK(r.pulses.missed == 0);
    }
}

TEST_CASE("Missed and double pulses do not change the count") {
    Clamp c;
    c.miss_every = 9, c.double_every = 7;
    const auto r = speed_from_pickup(clamp_sound(c, steady(790.0)), SampleRate{rate}, per(0.5));
    REQUIRE(r.speed.mean);
    CHECK_THAT(r.speed.mean->value(), within(790.0, 0.05, "as above, at the ends a double may be taken"));
    CHECK(r.pulses.missed >= 5);
    CHECK(r.pulses.doubled >= 5);
    CHECK(r.speed.high < Rpm{800});
    CHECK(r.speed.low > Rpm{780});
}

TEST_CASE("A run-up is followed pulse by pulse") {
    const Speed up = [](double t) { return 800.0 + 150.0 * t; };
    Clamp c;
    c.per_turn = 1.0;
    const auto r = speed_from_pickup(clamp_sound(c, up), SampleRate{rate}, per(1.0));
    REQUIRE(r.speed.mean);
    for (const double t : {1.0, 4.0, 8.0})
        CHECK_THAT(r.speed.track.speed_at(Seconds{t}).value(),
                   within(up(t), 3.0, "a pulse's time is sure to a sample: 0.02 of 37 ms, 0.06 %"));
}

TEST_CASE("How many pulses a turn is inferred, and said to be") {
    Clamp c;
    c.per_turn = 2.0;  // a four-cylinder's one coil
    const auto x = clamp_sound(c, steady(850.0));
    PickupSettings s;
    const auto guess = speed_from_pickup(x, SampleRate{rate}, s);
    CHECK(guess.inferred);
    CHECK_FALSE(guess.speed.alternatives.empty());
    s.about = Rpm{870};
    const auto told = speed_from_pickup(x, SampleRate{rate}, s);
    REQUIRE(told.speed.mean);
    CHECK(told.pulses_per_turn == 2.0);
    CHECK_THAT(told.speed.mean->value(), within(850.0, 0.1, "two samples at the ends"));
}

TEST_CASE("Position in the cycle starts at the pulse") {
    Clamp c;
    const auto r = speed_from_pickup(clamp_sound(c, steady(800.0)), SampleRate{rate}, per(0.5));
    REQUIRE(r.pulses.at.size() > 10);
    const Seconds pulse = r.pulses.at[5];
    CHECK_THAT(r.position_at(pulse + Seconds{0.0375}).value(),
               within(180.0, 0.5, "37.5 ms at 800 rpm is half a turn; a sample is 0.1 degree"));
}

TEST_CASE("Pulses that stop are not counted on as missed") {
    Clamp c;
    auto x = clamp_sound(c, steady(800.0));
    // The engine is stalled from 6 s on, and tried again for a second at 8.5 s.
    for (std::size_t i = static_cast<std::size_t>(6.0 * rate); i < static_cast<std::size_t>(8.5 * rate); ++i)
        x[i] = 0.0F;
    const auto r = speed_from_pickup(x, SampleRate{rate}, per(0.5));
    REQUIRE(r.speed.mean);
    CHECK_THAT(r.speed.mean->value(), within(800.0, 0.05, "as above"));
    CHECK(r.pulses.missed == 0);
    CHECK(r.speed.running.used.second < Seconds{6.0});
    REQUIRE(r.speed.running.stops);
    CHECK_THAT(r.speed.running.stops->value(), within(6.0, 0.16, "a plug fires every 0.15 s"));
}

TEST_CASE("Pulses of the starter are not taken for a running engine") {
    Clamp c;
    const auto r = speed_from_pickup(clamp_sound(c, steady(215.0)), SampleRate{rate}, per(0.5));
    REQUIRE(r.speed.mean);
    REQUIRE(r.speed.running.cranking);
    CHECK_THAT(r.speed.running.cranking_speed.value(), within(215.0, 0.5, "two samples, and noise"));
    CHECK_FALSE(
        speed_from_pickup(clamp_sound(c, steady(600.0)), SampleRate{rate}, per(0.5)).speed.running.cranking);
}

TEST_CASE("Silence and noise have no pulses") {
    std::vector<float> silence(96000, 0.0F), noise(96000);
    Noise dice(3);
    for (auto& v : noise) v = static_cast<float>(0.1 * dice.normal());
    for (const auto* x : {&silence, &noise}) {
        const auto r = speed_from_pickup(*x, SampleRate{rate}, {});
        CHECK_FALSE(r.speed.mean);
        CHECK(r.pulses.at.empty());
        CHECK(r.speed.remarks.size() == 1);
    }
    CHECK(pulses_in({}, SampleRate{rate}).at.empty());
}

TEST_CASE("Two degrees between pulse and event at 800 rpm are resolved") {
    // The step by which a mechanic sets ignition timing (common practice); 0.42 ms at 800 rpm.
    const auto wander = [](double t) { return 800.0 * (1.0 + 0.01 * std::sin(2.0 * t)); };
    Clamp c;
    const auto r = speed_from_pickup(clamp_sound(c, wander), SampleRate{rate}, per(0.5));
    EngineSound e;
    e.rate = rate, e.unlike = 0.2;
    const auto take = [&](double later, std::uint64_t seed) {
        e.seed = seed;
        e.firing_deg = {20.0 + later, 200.0 + later, 380.0 + later, 560.0 + later};
        return cycle_average(engine_sound(e, wander), SampleRate{rate}, r);
    };
    const auto before = take(0.0, 1);
    const auto shift = event_shift(before, take(2.0, 2)), none = event_shift(before, take(0.0, 3));
    REQUIRE((shift && none));
    CHECK_THAT(shift->value(), within(2.0, 0.5, "a quarter of the step"));
    CHECK_THAT(none->value(), within(0.0, 0.5, "a quarter of the step"));
}

TEST_CASE("A pickup on another recorder settles the speed, not the moments") {
    Clamp c;
    c.seconds = 6.0;
    const auto pulses = clamp_sound(c, steady(806.0));
    EngineSound e;
    SpeedSettings s;
    s.cylinders = 4;
    const auto r = speed_with_pickup_apart(engine_sound(e, steady(812.0)), SampleRate{e.rate}, pulses,
                                           SampleRate{rate}, s, per(0.5));
    REQUIRE(r.mean);
    CHECK(r.source == SpeedSource::pickup);
    CHECK(r.mean_from == SpeedSource::sound);
    CHECK_THAT(r.mean->value(), within(812.0, 0.8, "0.1 %: the sound's own reading"));
    CHECK(r.running.used.second.value() > 9.0);
    const std::vector<float> silence(160000, 0.0F);
    const auto alone =
        speed_with_pickup_apart(silence, SampleRate{16000}, pulses, SampleRate{rate}, s, per(0.5));
    REQUIRE(alone.mean);
    CHECK(alone.mean_from == SpeedSource::pickup);
    CHECK_THAT(alone.mean->value(), within(806.0, 0.1, "two samples at the ends"));
}

TEST_CASE("Pickup, sound and tag that do not go together are said") {
    Clamp c;
    const auto pulses = clamp_sound(c, steady(800.0));
    EngineSound e;
    e.rate = rate;
    const auto sound = engine_sound(e, steady(800.0));
    SpeedSettings s;
    s.cylinders = 4;
    const auto wrong = speed_with_pickup(sound, pulses, SampleRate{rate}, s, per(1.0));
    REQUIRE(wrong.remarks.size() == 1);
    CHECK(wrong.remarks.front() ==
          "Pickup says 400, sound says 800: is the number of pulses to a turn right (--pulses)?");
    s.tag = SpeedTag{Rpm{820}, Rpm{5}};
    const auto tagged = speed_with_pickup(sound, pulses, SampleRate{rate}, s, {});
    REQUIRE(tagged.remarks.size() == 1);
    CHECK(tagged.remarks.front() == "Tag 820 ± 5, pickup says 800: 2.4 % apart.");
    CHECK(tagged.source == SpeedSource::pickup);
    // Without a word on the pulses, the sound settles how many there are.
    s.tag.reset();
    const auto inferred = speed_with_pickup(sound, pulses, SampleRate{rate}, s, {});
    REQUIRE(inferred.mean);
    CHECK_THAT(inferred.mean->value(), within(800.0, 0.1, "two samples at the ends"));
}
