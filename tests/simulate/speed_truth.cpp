// The truth of crank speed against the sound itself.
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "simulate/bench.hpp"
#include "simulate/truth.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::simulate;
using cranknote::test::within;

namespace {

/// Power of a wave at `ratio` per crank turn, by correlation along the true crank angle.
double power_along(const Wave& wave, const std::vector<double>& turns, double ratio) {
    double re = 0.0, im = 0.0;
    for (std::size_t i = 0; i < wave.size(); ++i) {
        const double a = 2.0 * std::numbers::pi * ratio * turns[i];
        re += static_cast<double>(wave[i]) * std::cos(a);
        im += static_cast<double>(wave[i]) * std::sin(a);
    }
    return (re * re + im * im) / static_cast<double>(wave.size());
}

}  // namespace

TEST_CASE("the track is the mean speed over two turns of the crank angle that is sounded") {
    const auto e = make_engine(3);
    const auto course = idle_course(800.0, 12.0, 0.01);
    const auto t = turn(e, course, 8000.0, 0.01, Dice(5));
    TakeTruth truth;
    fill_speed_truth(t, course, truth);
    const double turned = (t.turns.back() - t.turns.front()) / (t.seconds() - 1.0 / 8000.0) * 60.0;
    CHECK_THAT(truth.mean.value(),
               within(turned, 0.02, "12 s of 8 kHz: the last sample is one part in 96000"));
    const auto from_track = mean_speed(truth, Seconds{1.0}, Seconds{11.0});
    const double direct = (t.turns[88000] - t.turns[8000]) / 10.0 * 60.0;
    CHECK_THAT(from_track.value(),
               within(direct, 0.8, "0.1 % of 800: track points are averages over 0.15 s"));
    CHECK(truth.low < truth.mean);
    CHECK(truth.high > truth.mean);
}

TEST_CASE("wander has the rms that it is given") {
    const auto e = make_engine(4, 4);
    double sum = 0.0;
    std::size_t count = 0;
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        auto course = idle_course(800.0, 20.0, 0.01);
        course.cycle_spread = 0.0;
        const auto t = turn(e, course, 1000.0, 0.0, Dice(seed));
        for (const float rpm : t.rpm) sum += std::pow(static_cast<double>(rpm) / 800.0 - 1.0, 2);
        count += t.rpm.size();
    }
    CHECK_THAT(std::sqrt(sum / static_cast<double>(count)),
               within(0.01, 0.0012, "40 runs of some 9 independent swings each"));
}

TEST_CASE("firing lies on multiples of the half order, and nowhere between") {
    for (const std::uint64_t seed : {11u, 12u, 13u}) {
        const auto e = make_engine(seed, 4);
        const auto voice = make_voice(e, 16000.0);
        const auto motion =
            move(e, idle_course(820.0, 10.0, 0.01), 16000.0, voice.ripple, "", 0.0, Dice(seed));
        const auto stems = render_healthy(e, voice, motion, {}, Dice(seed));
        const auto& block = stems[static_cast<std::size_t>(Place::block)];
        const double firing = power_along(block, motion.turning.turns, 2.0) +
                              power_along(block, motion.turning.turns, 4.0) +
                              power_along(block, motion.turning.turns, 6.0);
        const double beside = power_along(block, motion.turning.turns, 2.13) +
                              power_along(block, motion.turning.turns, 4.13) +
                              power_along(block, motion.turning.turns, 6.13);
        CHECK(firing > 100.0 * beside);  // 20 dB: a line against what lies between lines
    }
}
