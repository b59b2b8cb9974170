// Sounds with known statistics for tests of portrait/ and compare/.
#pragma once

#include <cmath>
#include <cstddef>
#include <numbers>
#include <random>
#include <vector>

namespace cranknote::test {

inline constexpr double rate = 48000.0;

/// White noise of the given rms.
inline std::vector<float> noise(double seconds, double rms, unsigned seed) {
    std::mt19937 dice(seed);
    std::normal_distribution<float> normal(0.0F, static_cast<float>(rms));
    std::vector<float> x(static_cast<std::size_t>(seconds * rate));
    for (auto& v : x) v = normal(dice);
    return x;
}

inline void add(std::vector<float>& x, const std::vector<float>& y) {
    for (std::size_t i = 0; i < x.size(); ++i) x[i] += y[i];
}

/// Two one-pole filters in a row, twice over: keeps some octaves around `hz`.
inline std::vector<float> around(std::vector<float> x, double hz) {
    const double a = std::exp(-2.0 * std::numbers::pi * hz / rate);
    for (int pass = 0; pass < 2; ++pass) {
        double low = 0.0, slow = 0.0;
        for (auto& v : x) {
            low = a * low + (1.0 - a) * static_cast<double>(v);
            slow = a * slow + (1.0 - a) * low;
            v = static_cast<float>(low - slow);
        }
    }
    return x;
}

/// Multiplied by a gate that opens `per_second` times for `share` of the time; share 0: by a raised cosine.
inline std::vector<float> gated(std::vector<float> x, double per_second, double share) {
    for (std::size_t i = 0; i < x.size(); ++i) {
        const double turn = per_second * static_cast<double>(i) / rate, part = turn - std::floor(turn);
        const double gain =
            share > 0.0 ? (part < share ? 1.0 : 0.0) : 0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * part);
        x[i] *= static_cast<float>(gain);
    }
    return x;
}

}  // namespace cranknote::test
