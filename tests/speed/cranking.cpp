// The starter turns the engine, and it does not fire.
#include <cmath>
#include <numbers>
#include <string>

#include "engine_sound.hpp"
#include "speed/from_sound.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

constexpr double tau = 2.0 * std::numbers::pi;

/// Compression strokes: the starter's whine and grind sag and swell with each, and it thumps a little
/// (common practice; no recording of a starter was at hand).
std::vector<float> cranking(double rpm, int cylinders, double seconds, std::uint64_t seed) {
    EngineSound e;
    e.cylinders = cylinders, e.seconds = seconds, e.noise = 1.0, e.seed = seed;
    auto x = engine_sound(e, steady(rpm));
    Noise dice(seed + 100);
    const double strokes = rpm / 120.0 * cylinders;
    for (std::size_t i = 0; i < x.size(); ++i) {
        const double t = static_cast<double>(i) / e.rate;
        const double load = 0.6 + 0.4 * std::cos(tau * strokes * t);
        const double whine = std::sin(tau * 110.0 * (rpm / 60.0 * t - 0.004 * std::sin(tau * strokes * t)));
        x[i] = static_cast<float>(0.08 * static_cast<double>(x[i]) +
                                  load * (0.05 * whine + 0.05 * dice.normal()));
    }
    return x;
}

SpeedReading read(const std::vector<float>& x, int cylinders) {
    SpeedSettings s;
    s.cylinders = cylinders;
    return speed_from_sound(x, SampleRate{16000}, s);
}

}  // namespace

TEST_CASE("Cranking is never surely read as a running engine, and mostly said to be what it is") {
    int said = 0, takes = 0;
    for (const int cylinders : {3, 4, 6})
        for (const double rpm : {160.0, 210.0, 270.0}) {
            const auto r = read(cranking(rpm, cylinders, 6.0, static_cast<std::uint64_t>(rpm)), cylinders);
            INFO(cylinders << " cylinders at " << rpm << ": " << (r.mean ? r.mean->value() : 0.0) << " ("
                           << r.confidence << "), cranking " << r.running.cranking_speed.value());
            ++takes;
            // Its strokes may pass for the cycles of an idle, but never surely, and not without a word.
            if (r.mean) {
                CHECK(r.confidence < 0.95);
                REQUIRE(r.remarks.size() == 1);
                CHECK(r.remarks.front().find("cranking at about") != std::string::npos);
                ++said;
            } else if (r.running.cranking) {
                ++said;
                CHECK_THAT(r.running.cranking_speed.value() / rpm, within(1.0, 0.05, "said as 'about'"));
                CHECK(r.remarks.front().find("it does not fire") != std::string::npos);
            }
        }
    INFO(said << " of " << takes);
    CHECK(said >= 7);
}

TEST_CASE("Noise, a tone and silence are no starter") {
    Noise dice(5);
    std::vector<float> noise(96000), tone(96000);
    for (std::size_t i = 0; i < noise.size(); ++i) {
        noise[i] = static_cast<float>(0.05 * dice.normal());
        tone[i] = static_cast<float>(0.3 * std::sin(tau * 440.0 * static_cast<double>(i) / 16000.0));
    }
    for (const auto& x : {noise, tone, std::vector<float>(96000, 0.0F)})
        CHECK_FALSE(read(x, 4).running.cranking);
}
