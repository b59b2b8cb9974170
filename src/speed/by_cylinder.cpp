// Evenness with a pickup: cylinder by cylinder.
#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <utility>

#include "signal/distribution.hpp"
#include "speed/evenness.hpp"
#include "speed/in_words.hpp"

namespace cranknote {

namespace {

using namespace speed_detail;

constexpr std::size_t fewest_averaged = 4;
constexpr double events_above = 500.0;  // Hz: the rumble below has no sharp events
constexpr double clearly_weak = -1.5;   // dB re the mean, with its interval: a mechanic would look there

/// Sum of the rectified sound above `events_above` up to each sample.
std::vector<double> loudness_sum(std::span<const float> sound, SampleRate rate) {
    const double keep = 1.0 / (1.0 + 2.0 * std::numbers::pi * events_above / rate.value());
    std::vector<double> sum(sound.size() + 1, 0.0);
    double high = 0.0, before = 0.0;
    for (std::size_t i = 0; i < sound.size(); ++i) {
        high = keep * (high + static_cast<double>(sound[i]) - before);
        before = static_cast<double>(sound[i]);
        sum[i + 1] = sum[i] + std::abs(high);
    }
    return sum;
}

/// When the crank has turned so often since pulse 0; straight between pulses.
double seconds_at(const PickupReading& p, double turns) {
    const double number = turns * p.pulses_per_turn;
    const auto& n = p.pulses.number;
    const auto above = std::upper_bound(n.begin(), n.end(), number,
                                        [](double x, long y) { return x < static_cast<double>(y); }) -
                       n.begin();
    const auto i = static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(above, 1, std::ssize(n) - 1));
    const double part = (number - static_cast<double>(n[i - 1])) / static_cast<double>(n[i] - n[i - 1]);
    return (p.pulses.at[i - 1] + (p.pulses.at[i] - p.pulses.at[i - 1]) * part).value();
}

struct Cylinders {
    std::vector<double> mean, error;  ///< re the cycle's mean; standard error of the mean
    std::size_t cycles = 0;
};

Cylinders cylinders_of(std::span<const float> sound, SampleRate rate, const PickupReading& p, int count) {
    Cylinders out;
    if (count < 2 || p.pulses.at.size() < 2) return out;
    const auto n = static_cast<std::size_t>(count);
    const auto sum = loudness_sum(sound, rate);
    const auto cycles =
        static_cast<std::size_t>(p.turns_at(p.pulses.at.back()) / static_cast<double>(p.cycle_turns));
    std::vector<double> total(n, 0.0), squares(n, 0.0);
    const auto sample = [&](double turns) {
        const double at = std::max(0.0, seconds_at(p, turns) * rate.value());
        return std::min(sound.size(), static_cast<std::size_t>(at));
    };
    for (std::size_t c = 0; c < cycles; ++c) {
        std::vector<double> level(n);
        double all = 0.0;
        bool whole = true;
        for (std::size_t k = 0; k < n; ++k) {
            const double turn = p.cycle_turns * (static_cast<double>(c) + static_cast<double>(k) / count);
            const auto a = sample(turn), b = sample(turn + static_cast<double>(p.cycle_turns) / count);
            whole = whole && b > a;
            level[k] = whole ? (sum[b] - sum[a]) / static_cast<double>(b - a) : 0.0;
            all += level[k] / count;
        }
        if (!whole || !(all > 0.0)) continue;
        ++out.cycles;
        for (std::size_t k = 0; k < n; ++k)
            total[k] += level[k] / all, squares[k] += std::pow(level[k] / all, 2);
    }
    if (out.cycles < fewest_averaged) return out;
    const auto m = static_cast<double>(out.cycles);
    for (std::size_t k = 0; k < n; ++k) {
        const double mean = total[k] / m;
        out.mean.push_back(mean);
        out.error.push_back(std::sqrt(std::max(0.0, squares[k] / m - mean * mean) / (m - 1.0)));
    }
    return out;
}

double student(std::size_t cycles) {
    return signal::quantile(signal::StudentT{static_cast<double>(cycles) - 1.0}, 0.975);
}

std::vector<CylinderLevel> levels_of(const Cylinders& c) {
    std::vector<CylinderLevel> out;
    if (c.mean.empty()) return out;
    const double t = student(c.cycles);
    for (std::size_t k = 0; k < c.mean.size(); ++k)
        out.push_back({decibel_of_amplitude(c.mean[k]),
                       Decibel{20.0 / std::numbers::ln10 * t * c.error[k] / std::max(c.mean[k], 1e-9)}});
    return out;
}

/// Deviation of the cylinders over their mean without what chance adds, with a 95 % interval: the scaled sum
/// of squares is noncentral chi-square, whose square root is nearly normal with variance 1 (Fisher 1922 for
/// the central one).
void fill_unlike(Evenness& e, const Cylinders& c) {
    const double dof = static_cast<double>(c.mean.size()) - 1.0;
    double noise = 0.0, square = 0.0;
    for (std::size_t k = 0; k < c.mean.size(); ++k) {
        noise += c.error[k] * c.error[k] / (dof + 1.0);
        square += std::pow(c.mean[k] - 1.0, 2);
    }
    noise = std::max(noise, 1e-12);
    const double root = std::sqrt(square / noise), rest = dof - 0.5;
    const auto unlike = [&](double r) {
        return std::sqrt(std::max(0.0, (r > 0.0 ? r * r : 0.0) - rest) * noise / dof);
    };
    e.unlike = unlike(root);
    e.interval = {unlike(root - 1.96), std::max(unlike(root + 1.96), std::sqrt(noise / dof))};
}

std::string name_of(const Evenness& e, std::size_t k) {
    if (k < e.numbers.size()) return "cylinder " + std::to_string(e.numbers[k]);
    return "firing " + std::to_string(k + 1) + " from the pulse on";
}

std::string by_cylinder_text(const Evenness& e) {
    const auto range = " (95 %: " + percent(e.interval.first) + " to " + percent(e.interval.second) + ")";
    std::string weak;
    for (std::size_t k = 0; k < e.cylinders.size(); ++k) {
        const auto& c = e.cylinders[k];
        if ((c.level + c.plus_minus).value() < clearly_weak)
            weak += (weak.empty() ? "" : "; ") + name_of(e, k) + " is " + tenths(std::abs(c.level.value())) +
                    " dB weaker than their mean";
    }
    if (!weak.empty())
        return "The cylinders fire unevenly, unlike by " + percent(*e.unlike) + range + ": " + weak + ".";
    if (e.interval.first <= 0.0)
        return "The cylinders fire evenly within what this recording can tell: unlike by at most " +
               percent(e.interval.second) + ".";
    return "No cylinder is clearly weak: they sound unlike by " + percent(*e.unlike) + range +
           "; their ways to the microphone count too.";
}

}  // namespace

std::vector<CylinderLevel> cylinder_levels(std::span<const float> sound, SampleRate rate,
                                           const PickupReading& pickup, int cylinders) {
    return levels_of(cylinders_of(sound, rate, pickup, cylinders));
}

Evenness evenness_by_cylinder(std::span<const float> sound, SampleRate rate, const PickupReading& pickup,
                              int cylinders, std::vector<int> numbers) {
    Evenness e;
    e.from = SpeedSource::pickup;
    const auto c = cylinders_of(sound, rate, pickup, cylinders);
    e.cylinders = levels_of(c);
    if (e.cylinders.empty()) {
        e.text = "How alike the cylinders fire: cannot tell. ";
        e.text += cylinders < 2 ? "There is one cylinder." : "The pickup shows too few cycles.";
        return e;
    }
    if (numbers.size() == e.cylinders.size()) e.numbers = std::move(numbers);
    fill_unlike(e, c);
    e.text = by_cylinder_text(e);
    return e;
}

}  // namespace cranknote
