// The signal that tools/make_test_sounds puts into every file, and what a test measures of it.
#pragma once

#include <array>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "audio/decode.hpp"

namespace cranknote::test {

inline constexpr double two_pi = 2 * std::numbers::pi;

inline double tone_hz(std::size_t channel) { return 1000.0 + 250.0 * static_cast<double>(channel); }

/// The chirp alone: 0.25, 500 to 3000 Hz, from 0.5 s to 1.0 s.
inline double chirp(double t) {
    if (t < 0.5 || t > 1.0) return 0.0;
    const double u = t - 0.5;
    return 0.25 * std::sin(two_pi * (500 * u + 2500 * u * u));
}

/// What channel `c` holds at time t.
inline double test_signal(std::size_t c, double t) {
    return 0.5 * std::sin(two_pi * tone_hz(c) * t) + chirp(t);
}

/// Amplitude of a tone of known frequency by projection on sine and cosine over whole periods.
inline double tone_amplitude(const std::vector<float>& x, SampleRate rate, double hz, double from,
                             double to) {
    const auto first = static_cast<std::size_t>(from * rate.value());
    const auto last = std::min(x.size(), static_cast<std::size_t>(to * rate.value()));
    double s = 0, c = 0;
    for (std::size_t i = first; i < last; ++i) {
        const double phase = two_pi * hz * static_cast<double>(i) / rate.value();
        s += x[i] * std::sin(phase);
        c += x[i] * std::cos(phase);
    }
    return 2 * std::hypot(s, c) / static_cast<double>(last - first);
}

inline double db(double ratio) { return 20 * std::log10(ratio); }

/// By how many samples x comes later than the test signal: where its correlation with the chirp is largest.
inline int delay_of(const std::vector<float>& x, SampleRate rate, int most) {
    const auto first = static_cast<int>(0.5 * rate.value());
    const auto last = static_cast<int>(1.0 * rate.value());
    std::vector<double> model;
    for (int i = first; i < last; ++i) model.push_back(chirp(i / rate.value()));
    double best = -1e300;
    int where = 0;
    for (int lag = -most; lag <= most; ++lag) {
        double sum = 0;
        for (int i = first; i < last; ++i) {
            const auto at = i + lag;
            if (at >= 0 && at < static_cast<int>(x.size()))
                sum += model[static_cast<std::size_t>(i - first)] * x[static_cast<std::size_t>(at)];
        }
        if (sum > best) {
            best = sum;
            where = lag;
        }
    }
    return where;
}

inline std::string data_file(const std::string& name) {
    return std::string(CRANKNOTE_SOURCE_DIR) + "/tests/data/" + name;
}

}  // namespace cranknote::test
