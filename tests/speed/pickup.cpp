#include "speed/pickup.hpp"

#include <cmath>
#include <numbers>

#include "engine_sound.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

constexpr double rate = 48000.0;

struct Clamp {
    double per_turn = 0.5, level = 0.5, noise = 0.004, ring_hz = 4000.0, ring_s = 0.0012;
    float sign = 1.0F;
    int miss_every = 0, double_every = 0;
    double seconds = 10.0;
};

/// What an inductive clamp gives: a sharp rise that rings, some missed, some double.
std::vector<float> clamp_sound(const Clamp& c, const Speed& rpm) {
    const auto turns = turns_of(rpm, c.seconds, rate);
    std::vector<float> x(turns.size(), 0.0F);
    Noise noise(11);
    const auto strike = [&](double at, double level) {
        for (auto i = static_cast<std::size_t>(std::ceil(at)); i < x.size(); ++i) {
            const double t = (static_cast<double>(i) - at) / rate;
            if (t > 8.0 * c.ring_s) break;
            x[i] += c.sign * static_cast<float>(level * std::exp(-t / c.ring_s) *
                                                std::cos(2.0 * std::numbers::pi * c.ring_hz * t));
        }
    };
    int n = 0;
    for (std::size_t i = 1; i < turns.size(); ++i) {
        const double a = turns[i - 1] * c.per_turn, b = turns[i] * c.per_turn;
        if (std::floor(a) == std::floor(b)) continue;
        ++n;
        if (c.miss_every > 0 && n % c.miss_every == 0) continue;
        const double at = static_cast<double>(i) - 1.0 + (std::floor(b) - a) / (b - a);
        strike(at, c.level * (1.0 + 0.1 * noise.normal()));
        if (c.double_every > 0 && n % c.double_every == 0) strike(at + 0.006 * rate, c.level);
    }
    for (auto& v : x) v += static_cast<float>(c.noise * noise.normal());
    return x;
}

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

TEST_CASE("A weak cylinder is found by its place after the pulse") {
    Clamp c;
    const auto r = speed_from_pickup(clamp_sound(c, steady(800.0)), SampleRate{rate}, per(0.5));
    EngineSound e;
    e.rate = rate, e.unlike = 0.0, e.firing_deg = {10.0, 190.0, 550.0};  // the third does not fire
    const auto levels =
        cylinder_levels(cycle_average(engine_sound(e, steady(800.0)), SampleRate{rate}, r), 4);
    REQUIRE(levels.size() == 4);
    for (const std::size_t other : {0U, 1U, 3U})
        CHECK(levels[2].level + levels[2].plus_minus < levels[other].level - levels[other].plus_minus);
}
