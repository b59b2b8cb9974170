// Sounds that are hard, and sounds that are no engine.
#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

#include "engine_sound.hpp"
#include "speed/from_sound.hpp"
#include "speed/together.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

constexpr double tau = 2.0 * std::numbers::pi;

SpeedReading read(const std::vector<float>& x, double rate, int cylinders = 4) {
    SpeedSettings s;
    s.cylinders = cylinders;
    return speed_from_sound(x, SampleRate{rate}, s);
}

void cannot_tell(const SpeedReading& r) {
    CHECK_FALSE(r.mean);
    CHECK(r.confidence == 0.0);
    CHECK(r.track.empty());
    CHECK(r.remarks.size() == 1);  // the reason
}

/// Chords of harmonic notes, two to four a second.
std::vector<float> music(std::uint64_t seed) {
    Noise dice(seed);
    std::vector<float> x(160000, 0.0F);
    constexpr double scale[] = {1.0, 1.125, 1.25, 1.5, 1.667};
    for (double t = 0.0; t < 10.0; t += 0.25 + 0.25 * dice.uniform())
        for (int voice = 0; voice < 3; ++voice) {
            const double f = 110.0 * (1 + voice) * scale[static_cast<std::size_t>(5.0 * dice.uniform())];
            for (std::size_t i = 0; i < 6400; ++i) {
                const auto at = static_cast<std::size_t>(t * 16000.0) + i;
                if (at >= x.size()) break;
                const double u = static_cast<double>(i) / 16000.0;
                for (int k = 1; k <= 6; ++k)
                    x[at] += static_cast<float>(0.05 / k * std::sin(tau * k * f * u) * std::exp(-4.0 * u));
            }
        }
    for (auto& v : x) v += static_cast<float>(0.001 * dice.normal());
    return x;
}

}  // namespace

TEST_CASE("Music, clicks at random and mains hum cannot tell a speed, and say why") {
    for (const std::uint64_t seed : {1U, 2U, 3U}) cannot_tell(read(music(seed), 16000.0));
    Noise dice(4);
    std::vector<float> clicks(160000, 0.0F), hum(160000);
    for (auto& v : clicks)
        v = static_cast<float>((dice.uniform() < 0.001 ? 0.5 : 0.0) + 0.001 * dice.normal());
    cannot_tell(read(clicks, 16000.0));
    for (std::size_t i = 0; i < hum.size(); ++i) {
        double sum = 0.002 * dice.normal();
        for (int k = 1; k <= 6; ++k)
            sum += 0.1 / k * std::sin(tau * 50.0 * k * static_cast<double>(i) / 16000.0);
        hum[i] = static_cast<float>(sum);
    }
    cannot_tell(read(hum, 16000.0));
}

TEST_CASE("A third of a second cannot tell") {
    EngineSound e;
    e.seconds = 0.3;
    const auto r = read(engine_sound(e, steady(800.0)), e.rate);
    cannot_tell(r);
    CHECK(r.remarks.front().find("short") != std::string::npos);
}

TEST_CASE("Clipping on every peak leaves the speed readable, or withheld, but never wrong") {
    EngineSound e;
    auto x = engine_sound(e, steady(830.0));
    for (auto& v : x) v = std::clamp(20.0F * v, -1.0F, 1.0F);
    const auto r = read(x, e.rate);
    if (r.mean) CHECK_THAT(r.mean->value(), within(830.0, 4.2, "0.5 %: what nineteen in twenty must reach"));
}

TEST_CASE("What a telephone leaves (8 kHz, nothing below 300 Hz) is read, or withheld, but never wrong") {
    EngineSound e;
    e.rate = 8000.0, e.low_cut = 300.0;
    const auto r = read(engine_sound(e, steady(830.0)), e.rate);
    if (r.mean) CHECK_THAT(r.mean->value(), within(830.0, 4.2, "0.5 %: what nineteen in twenty must reach"));
}

TEST_CASE("A run-up of 300 rpm a second, a step, and a cold idle that falls are followed") {
    const auto follow = [](const Speed& rpm, double seconds, double tolerance, const char* why) {
        EngineSound e;
        e.seconds = seconds, e.low_cut = 100.0;
        const auto r = read(engine_sound(e, rpm), e.rate);
        REQUIRE(r.mean);
        const auto [from, to] = r.running.used;
        CHECK((to - from).value() > 0.3 * seconds);  // a sharp corner may end the stretch
        for (double t = from.value() + 0.5; t < to.value() - 0.5; t += 0.5)
            CHECK_THAT(r.track.speed_at(Seconds{t}).value() / rpm(t), within(1.0, tolerance, why));
    };
    follow([](double t) { return t < 2.0   ? 800.0
                                 : t < 7.0 ? 800.0 + 300.0 * (t - 2.0)
                                           : 2300.0; }, 10.0,
           0.05, "a corner is rounded over a piece of 0.3 s, in which the speed moves by a tenth");
    follow([](double t) { return 800.0 + 70.0 / (1.0 + std::exp(-(t - 5.0) / 0.1)); }, 10.0, 0.02,
           "a step is spread over a piece of 0.3 s");
    follow([](double t) { return 1400.0 - 400.0 * t / 30.0; }, 20.0, 0.003,
           "0.3 %: the target for the track");
}

TEST_CASE("An engine that is switched off is read up to there") {
    EngineSound e;
    e.seconds = 12.0;
    auto x = engine_sound(e, steady(820.0));
    Noise dice(8);
    for (std::size_t i = static_cast<std::size_t>(8.0 * e.rate); i < x.size(); ++i)
        x[i] = static_cast<float>(0.003 * dice.normal());
    const auto r = read(x, e.rate);
    REQUIRE(r.mean);
    CHECK_THAT(r.mean->value(), within(820.0, 0.8, "0.1 %: the target for the median"));
    REQUIRE(r.running.stops);
    CHECK_THAT(r.running.stops->value(), within(8.0, 0.4, "a piece of 0.3 s, calmed over its neighbours"));
    CHECK_THAT(r.running.used.second.value(), within(8.0, 0.5, "as above"));
    CHECK_FALSE(r.running.starts);
}

TEST_CASE("A tone at 50 Hz beside the engine does not capture the reading") {
    EngineSound e;
    auto x = engine_sound(e, steady(771.0));
    for (std::size_t i = 0; i < x.size(); ++i)
        x[i] += static_cast<float>(0.1 * std::sin(tau * 50.0 * static_cast<double>(i) / e.rate) +
                                   0.05 * std::sin(tau * 100.0 * static_cast<double>(i) / e.rate));
    const auto r = read(x, e.rate);
    REQUIRE(r.mean);
    CHECK_THAT(r.mean->value(), within(771.0, 0.8, "0.1 %: the target for the median"));
}

TEST_CASE("Recordings of one engine settle a doubtful multiple") {
    SpeedReading sure, doubtful;
    sure.mean = Rpm{805}, sure.confidence = 0.97;
    doubtful.mean = Rpm{1620}, doubtful.confidence = 0.55;
    doubtful.low = Rpm{1600}, doubtful.high = Rpm{1640};
    doubtful.track = {{Seconds{0}}, {Rpm{1620}}};
    doubtful.alternatives = {{Rpm{810}, 0.42}};
    const auto r = readings_together({sure, doubtful});
    REQUIRE(r.size() == 2);
    CHECK(r[0].mean == Rpm{805});
    REQUIRE(r[1].mean);
    CHECK(*r[1].mean == Rpm{810});
    CHECK(r[1].confidence > 0.9);
    CHECK(r[1].track.rpm.front() == Rpm{810});
    CHECK(r[1].low == Rpm{800});
    REQUIRE(r[1].alternatives.size() == 1);
    CHECK(r[1].alternatives.front().rpm == Rpm{1620});
    const auto alone = readings_together({doubtful});
    CHECK(*alone.front().mean == Rpm{1620});
}

TEST_CASE("A withheld reading is pointed to what the others say, and doubtful ones do not help") {
    SpeedReading sure, withheld;
    sure.mean = Rpm{805}, sure.confidence = 0.97;
    withheld.alternatives = {{Rpm{1610}, 0.45}, {Rpm{806}, 0.40}};
    const std::vector alone{sure, withheld};
    const auto to = pointed_to(alone, readings_together(alone));
    REQUIRE(to.size() == 1);
    CHECK(to.front().index == 1);
    CHECK(to.front().tag.rpm == Rpm{806});
    CHECK(to.front().confidence < 0.95);  // what no candidate holds stays unexplained
    auto unsure = sure;
    unsure.confidence = 0.7;
    const std::vector doubtful{unsure, withheld};
    CHECK(pointed_to(doubtful, readings_together(doubtful)).empty());
    // The sound read again with that tag: its own numbers, and no more said than that.
    EngineSound e;
    SpeedSettings s;
    s.cylinders = 4, s.tag = to.front().tag;
    const auto again = settled_by_others(
        speed_from_sound(engine_sound(e, steady(806.0)), SampleRate{e.rate}, s), to.front());
    REQUIRE(again);
    CHECK(again->source == SpeedSource::sound);
    CHECK(again->confidence <= to.front().confidence);
    CHECK(again->remarks.size() == 1);
    CHECK_FALSE(settled_by_others(speed_from_tag(*s.tag, Seconds{10}), to.front()));
}

TEST_CASE("A tone kept in 16 bits is no engine, though its rounding repeats") {
    // 440 Hz at 48 kHz repeats every 1200 samples, 40 times a second, and so does its rounding.
    for (const double hz : {440.0, 1000.0, 97.0, 50.0}) {
        std::vector<float> x(480000);
        for (std::size_t i = 0; i < x.size(); ++i)
            x[i] = static_cast<float>(
                std::round(9830.0 * std::sin(tau * hz * static_cast<double>(i) / 48000.0)) / 32768.0);
        INFO(hz << " Hz");
        cannot_tell(read(x, 48000.0));
    }
}
