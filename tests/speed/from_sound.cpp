#include "speed/from_sound.hpp"

#include <cmath>
#include <numbers>
#include <string>

#include "engine_sound.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

SpeedReading read(const EngineSound& e, const Speed& rpm, SpeedSettings s = {}) {
    if (!s.cylinders) s.cylinders = e.cylinders;
    return speed_from_sound(engine_sound(e, rpm), SampleRate{e.rate}, s);
}

/// The course that an idle takes: two slow swings that never repeat together, 1 % rms in all.
Speed wandering(double rpm) {
    return [rpm](double t) {
        return rpm * (1.0 + 0.011 * std::sin(2.0 * std::numbers::pi * 0.31 * t) +
                      0.0086 * std::sin(2.0 * std::numbers::pi * 0.83 * t + 1.0));
    };
}

double track_rms(const SpeedReading& r, const Speed& rpm, double from, double to) {
    double sum = 0.0;
    int n = 0;
    for (double t = from; t < to; t += 0.05, ++n) {
        const double true_rpm = mean_rpm(rpm, t - 0.07, t + 0.07);  // over 720 degrees at 850
        sum += std::pow(r.track.speed_at(Seconds{t}).value() / true_rpm - 1.0, 2);
    }
    return std::sqrt(sum / n);
}

}  // namespace

TEST_CASE("A steady idle is read to a thousandth") {
    for (const int cylinders : {4, 6, 8}) {
        EngineSound e;
        e.cylinders = cylinders;
        e.seed = static_cast<std::uint64_t>(cylinders);
        const auto r = read(e, steady(823.0));
        INFO(cylinders << " cylinders");
        REQUIRE(r.mean);
        CHECK_THAT(r.mean->value(), within(823.0, 0.8, "0.1 %: the target for the median"));
        CHECK(r.interval.first < Rpm{823.0});
        CHECK(r.interval.second > Rpm{823.0});
        CHECK(r.source == SpeedSource::sound);
    }
}

TEST_CASE("50 rpm at 800, an idle-air valve unplugged, shows clearly in ten seconds") {
    // Common practice: unplugging the idle-air valve moves the idle by about 50 rpm.
    EngineSound e;
    e.low_cut = 150.0;
    const auto a = read(e, wandering(800.0));
    e.seed = 2;
    const auto b = read(e, wandering(850.0));
    REQUIRE((a.mean && b.mean));
    CHECK_THAT((*b.mean - *a.mean).value(), within(50.0, 3.0, "what a mechanic sets an idle to"));
    CHECK(a.interval.second < b.interval.first);
}

TEST_CASE("A wandering idle is followed to 0.3 % rms") {
    EngineSound e;
    e.low_cut = 120.0;
    const auto speed = wandering(850.0);
    const auto r = read(e, speed);
    REQUIRE(r.mean);
    CHECK_THAT(r.mean->value(), within(mean_rpm(speed, 0, 10), 0.85, "0.1 %: the target for the median"));
    CHECK(track_rms(r, speed, 0.3, 9.7) < 0.003);
    CHECK(r.low < Rpm{850 * 0.99});
    CHECK(r.high > Rpm{850 * 1.01});
}

TEST_CASE("A tag that agrees is kept as source, a tag that does not is said to be off") {
    EngineSound e;
    SpeedSettings s;
    s.tag = SpeedTag{Rpm{820}, Rpm{40}};
    const auto r = read(e, steady(797.0), s);
    REQUIRE(r.mean);
    CHECK_THAT(r.mean->value(), within(797.0, 0.8, "0.1 %: the sound refines the tag"));
    CHECK(r.source == SpeedSource::entered);
    CHECK(r.remarks.empty());

    s.tag = SpeedTag{Rpm{820}, Rpm{5}};
    const auto off = read(e, steady(797.0), s);
    REQUIRE(off.remarks.size() == 1);
    CHECK(off.remarks.front() == "Tag 820 ± 5, sound says 797: 2.8 % apart.");
}

TEST_CASE("Silence, noise and a single tone give no speed") {
    std::vector<float> silence(160000, 0.0F);
    std::vector<float> noise(160000), tone(160000);
    Noise dice(5);
    for (std::size_t i = 0; i < noise.size(); ++i) {
        noise[i] = static_cast<float>(0.05 * dice.normal());
        tone[i] = static_cast<float>(
            0.3 * std::sin(2.0 * std::numbers::pi * 440.0 * static_cast<double>(i) / 16000.0));
    }
    for (const auto* x : {&silence, &noise, &tone}) {
        SpeedSettings s;
        s.cylinders = 4;
        const auto r = speed_from_sound(*x, SampleRate{16000}, s);
        CHECK_FALSE(r.mean);
        CHECK(r.confidence == 0.0);
        CHECK(r.track.empty());
    }
}

TEST_CASE("Nothing and next to nothing give no speed and do not crash") {
    for (const std::size_t n : {0U, 1U, 7U, 100U, 4800U, 9600U}) {
        const std::vector<float> x(n, 0.01F);
        const auto r = speed_from_sound(x, SampleRate{16000}, SpeedSettings{});
        CHECK_FALSE(r.mean);
    }
}
