// What an inductive clamp on a plug lead gives, for tests.
#pragma once

#include <cmath>
#include <numbers>
#include <vector>

#include "engine_sound.hpp"

namespace cranknote::test {

constexpr double clamp_rate = 48000.0;

struct Clamp {
    double per_turn = 0.5, level = 0.5, noise = 0.004, ring_hz = 4000.0, ring_s = 0.0012;
    float sign = 1.0F;
    int miss_every = 0, double_every = 0;
    double seconds = 10.0;
};

/// What an inductive clamp gives: a sharp rise that rings, some missed, some double.
inline std::vector<float> clamp_sound(const Clamp& c, const Speed& rpm) {
    const auto turns = turns_of(rpm, c.seconds, clamp_rate);
    std::vector<float> x(turns.size(), 0.0F);
    Noise noise(11);
    const auto strike = [&](double at, double level) {
        for (auto i = static_cast<std::size_t>(std::ceil(at)); i < x.size(); ++i) {
            const double t = (static_cast<double>(i) - at) / clamp_rate;
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
        if (c.double_every > 0 && n % c.double_every == 0) strike(at + 0.006 * clamp_rate, c.level);
    }
    for (auto& v : x) v += static_cast<float>(c.noise * noise.normal());
    return x;
}

}  // namespace cranknote::test
