// Numbers by seed. The standard's distributions may differ between libraries; these do not.
#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>
#include <string_view>

namespace cranknote::simulate {

/// SplitMix64 (Steele, Lea, Flood 2014): one 64-bit step, good enough for sound, trivially seedable.
class Dice {
  public:
    explicit Dice(std::uint64_t seed) : state_(seed) {}

    std::uint64_t next() {
        state_ += 0x9E3779B97F4A7C15ULL;
        std::uint64_t z = state_;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
        return z ^ (z >> 31);
    }
    /// 0 up to, not including, 1.
    double uniform() { return static_cast<double>(next() >> 11) * 0x1.0p-53; }
    double uniform(double low, double high) { return low + (high - low) * uniform(); }
    /// Uniform in the logarithm: for frequencies and times.
    double ratio(double low, double high) { return low * std::pow(high / low, uniform()); }
    /// Mean 0, standard deviation 1 (Box-Muller).
    double normal() {
        const double u = 1.0 - uniform();
        const double v = uniform();
        return std::sqrt(-2.0 * std::log(u)) * std::cos(2.0 * std::numbers::pi * v);
    }
    double normal(double mean, double sd) { return mean + sd * normal(); }
    bool chance(double p) { return uniform() < p; }
    /// 0 to n - 1.
    int pick(int n) { return static_cast<int>(next() % static_cast<std::uint64_t>(n)); }
    /// low to high, both included.
    int between(int low, int high) { return low + pick(high - low + 1); }
    /// Zero mean, unit variance, the sum of four uniforms: for noise that is filtered afterwards.
    float noise() {
        const std::uint64_t z = next();
        const auto sum =
            static_cast<std::int32_t>((z & 0xFFFF) + ((z >> 16) & 0xFFFF) + ((z >> 32) & 0xFFFF) + (z >> 48));
        return static_cast<float>(sum - 131070) * (1.7320508F / 65536.0F);
    }
    /// Independent dice for a named purpose; does not disturb these.
    [[nodiscard]] Dice fork(std::string_view purpose, std::uint64_t number = 0) const {
        std::uint64_t h = 0xCBF29CE484222325ULL ^ state_;
        for (const char c : purpose) h = (h ^ static_cast<unsigned char>(c)) * 0x100000001B3ULL;
        Dice d((h ^ (number * 0xD6E8FEB86659FD93ULL)) * 0x100000001B3ULL);
        d.next();
        return d;
    }
    [[nodiscard]] std::uint64_t state() const { return state_; }

  private:
    std::uint64_t state_;
};

}  // namespace cranknote::simulate
