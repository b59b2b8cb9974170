// A plain engine for tests: knocks at known crank angles, each ringing at a few pitches, over noise. Its true
// speed is a function that the test hands in; nothing of the program under test is used to make it.
#pragma once

#include <cmath>
#include <cstdint>
#include <functional>
#include <numbers>
#include <span>
#include <vector>

namespace cranknote::test {

/// The same numbers on every machine (a linear congruence by Knuth, MMIX constants, upper bits).
class Noise {
  public:
    explicit Noise(std::uint64_t seed) : state_(seed * 2654435761U + 12345U) {}
    double uniform() {
        state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
        return static_cast<double>(state_ >> 33) / 2147483648.0;
    }
    /// Mean 0, variance 1, by twelve uniforms.
    double normal() {
        double s = -6.0;
        for (int i = 0; i < 12; ++i) s += uniform();
        return s;
    }

  private:
    std::uint64_t state_;
};

struct EngineSound {
    int cylinders = 4;
    std::vector<double> firing_deg;  ///< empty: evenly over cycle_turns
    int cycle_turns = 2;
    double seconds = 10.0, rate = 16000.0;
    double unlike = 0.25;  ///< how unlike each other the cylinders are
    double ragged = 0.05;  ///< how unlike one cycle is to the next
    double noise = 0.3;    ///< white noise re the knocks' rms
    double low_cut = 0.0;  ///< Hz, second order; 0: none
    std::uint64_t seed = 1;
};

using Speed = std::function<double(double)>;  ///< rpm at a time in seconds

/// Crank turns since 0, every 1/rate (trapezoid rule; the speeds here change slowly against it).
inline std::vector<double> turns_of(const Speed& rpm, double seconds, double rate) {
    std::vector<double> t(static_cast<std::size_t>(seconds * rate));
    double sum = 0.0;
    for (std::size_t i = 0; i < t.size(); ++i) {
        t[i] = sum;
        const double at = static_cast<double>(i) / rate;
        sum += (rpm(at) + rpm(at + 1.0 / rate)) / 120.0 / rate;
    }
    return t;
}

/// Mean crank speed between two moments.
inline double mean_rpm(const Speed& rpm, double from, double to) {
    double sum = 0.0;
    const int n = 2000;
    for (int i = 0; i < n; ++i) sum += rpm(from + (to - from) * (i + 0.5) / n) / n;
    return sum;
}

inline double rms(std::span<const float> x) {
    double s = 0.0;
    for (const float v : x) s += static_cast<double>(v) * static_cast<double>(v);
    return x.empty() ? 0.0 : std::sqrt(s / static_cast<double>(x.size()));
}

/// Adds a ring of a few pitches that starts at a fractional sample position.
inline void add_knock(std::vector<float>& x, double rate, double position, double strength) {
    struct Ring {
        double hz, decay, level;
    };
    constexpr Ring rings[] = {{95, 0.012, 1.0}, {410, 0.006, 0.8}, {1730, 0.002, 0.6}, {3900, 0.0012, 0.5}};
    const auto first = static_cast<std::size_t>(std::ceil(position));
    for (const auto& r : rings) {
        if (r.hz > 0.45 * rate) continue;
        const auto length = static_cast<std::size_t>(7.0 * r.decay * rate);
        for (std::size_t i = first; i < std::min(x.size(), first + length); ++i) {
            const double t = (static_cast<double>(i) - position) / rate;
            x[i] += static_cast<float>(strength * r.level * std::exp(-t / r.decay) *
                                       std::sin(2.0 * std::numbers::pi * r.hz * t));
        }
    }
}

inline void cut_low(std::vector<float>& x, double rate, double hz) {
    for (int pass = 0; pass < 2; ++pass) {
        const double a = 1.0 / (1.0 + 2.0 * std::numbers::pi * hz / rate);
        double y = 0.0, before = 0.0;
        for (auto& v : x) {
            y = a * (y + static_cast<double>(v) - before);
            before = static_cast<double>(v);
            v = static_cast<float>(y);
        }
    }
}

/// The sound, scaled to rms 0.1.
inline std::vector<float> engine_sound(const EngineSound& e, const Speed& rpm) {
    const auto turns = turns_of(rpm, e.seconds, e.rate);
    std::vector<float> x(turns.size(), 0.0F);
    Noise noise(e.seed);
    std::vector<double> place, strength;
    const int events = e.firing_deg.empty() ? e.cylinders : static_cast<int>(e.firing_deg.size());
    for (int k = 0; k < events; ++k) {
        place.push_back(e.firing_deg.empty()
                            ? static_cast<double>(e.cycle_turns) * k / static_cast<double>(e.cylinders)
                            : e.firing_deg[static_cast<std::size_t>(k)] / 360.0);
        strength.push_back(1.0 + e.unlike * noise.normal());
    }
    std::size_t i = 0;
    for (double cycle = 0.0; cycle * e.cycle_turns < (turns.empty() ? 0.0 : turns.back()); cycle += 1.0)
        for (std::size_t k = 0; k < place.size(); ++k) {
            const double at = cycle * e.cycle_turns + place[k];
            while (i + 1 < turns.size() && turns[i + 1] <= at) ++i;
            if (i + 1 >= turns.size()) break;
            const double part = (at - turns[i]) / (turns[i + 1] - turns[i]);
            add_knock(x, e.rate, static_cast<double>(i) + part,
                      strength[k] * (1.0 + e.ragged * noise.normal()));
        }
    if (e.low_cut > 0.0) cut_low(x, e.rate, e.low_cut);
    const double level = rms(x), keep = level > 0.0 ? 1.0 / level : 0.0;
    for (auto& v : x) v = static_cast<float>(static_cast<double>(v) * keep + e.noise * noise.normal());
    const auto scale = static_cast<float>(0.1 / std::max(1e-9, rms(x)));
    for (auto& v : x) v *= scale;
    return x;
}

inline Speed steady(double rpm) {
    return [rpm](double) { return rpm; };
}

}  // namespace cranknote::test
