// How near the frequency bound the reading of a clean, steady comb comes.
#include <cmath>
#include <complex>
#include <numbers>

#include "engine_sound.hpp"
#include "speed/from_sound.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

constexpr double rate = 16000.0, seconds = 10.0;
constexpr int harmonics = 12;

/// Twelve equal harmonics of f0, each of power 1/100 of the white noise.
std::vector<float> comb(double f0, std::uint64_t seed) {
    Noise dice(seed);
    std::vector<float> x(static_cast<std::size_t>(rate * seconds));
    std::vector<std::complex<double>> now, by;
    for (int l = 1; l <= harmonics; ++l) {
        now.push_back(std::polar(1.0, 2.0 * std::numbers::pi * dice.uniform()));
        by.push_back(std::polar(1.0, 2.0 * std::numbers::pi * l * f0 / rate));
    }
    const double amplitude = std::sqrt(2.0 * 0.01);
    for (auto& v : x) {
        double sum = dice.normal();
        for (std::size_t l = 0; l < now.size(); ++l) {
            sum += amplitude * now[l].real();
            now[l] *= by[l];
        }
        v = static_cast<float>(0.05 * sum);
    }
    return x;
}

/// Cramér-Rao bound of f0's standard deviation in Hz: one tone, var f >= 12 fs^2 / [(2 pi)^2 eta N (N^2 -
/// 1)], eta its power over the noise's (Rife & Boorstyn 1974; Kay, Estimation Theory; memory); L harmonics:
/// l^2 times the power of each (Christensen & Jakobsson 2009; memory). At 48 kHz, 2 s, -20 dB and 12
/// harmonics the same formula gives 3.49e-4 Hz (computed).
double bound(double fs, double t, double eta, int l_max) {
    const double n = fs * t;
    double squares = 0.0;
    for (int l = 1; l <= l_max; ++l) squares += static_cast<double>(l) * l;
    return std::sqrt(12.0 * fs * fs /
                     (std::pow(2.0 * std::numbers::pi, 2) * eta * n * (n * n - 1.0) * squares));
}

}  // namespace

TEST_CASE("The bound's formula gives the known value") {
    CHECK_THAT(bound(48000, 2, 0.01, 12), within(3.49e-4, 0.005e-4, "three digits are known"));
}

TEST_CASE("A clean steady comb is read within a factor of 2 of the Cramér-Rao bound") {
    const int takes = 24;
    double square = 0.0;
    for (int i = 0; i < takes; ++i) {
        const double f0 = 26.3 + 0.03 * i;  // a four-cylinder at 789 to 810 rpm
        SpeedSettings s;
        s.cylinders = 4;
        s.tag = SpeedTag{Rpm{800}, Rpm{40}};  // which multiple is not the question here
        const auto r = speed_from_sound(comb(f0, static_cast<std::uint64_t>(i) + 1), SampleRate{rate}, s);
        REQUIRE(r.mean);
        square += std::pow(r.mean->value() / 30.0 - f0, 2);
    }
    const double rms = std::sqrt(square / takes), least = bound(rate, seconds, 0.01, harmonics);
    INFO("rms error " << rms << " Hz, bound " << least << " Hz");
    // 24 takes know an rms to 14 % (1 / sqrt(2 * 24)), so a true ratio of 1.5 stays below 2.
    CHECK(rms < 2.0 * least);
}
