#include "signal/audibility.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>
#include <vector>

#include "signal/tones.hpp"

namespace cranknote::signal {
namespace {

constexpr double lowest = 50.0;        // Hz
constexpr double hann_widening = 1.5;  // noise bandwidth of a Hann window in lines: taken off sums of lines

/// The unbroken run of lines around `at` above both limits.
std::pair<std::size_t, std::size_t> tone_run(std::span<const double> powers, std::size_t at, double limit) {
    std::size_t first = at, last = at;
    while (first > 0 && powers[first - 1] > limit) --first;
    while (last + 1 < powers.size() && powers[last + 1] > limit) ++last;
    return {first, last};
}

}  // namespace

Decibel masking_index(Hertz f) { return Decibel{-2.0 - std::log10(1.0 + std::pow(f.value() / 502.0, 2.5))}; }

Decibel audibility_of(Decibel tone, Decibel noise_line, Hertz f, Hertz step) {
    return tone - (noise_line + decibel_of_power(critical_bandwidth(f) / step)) - masking_index(f);
}

std::optional<Audibility> tonal_audibility(std::span<const double> levels_db, Hertz first, Hertz step,
                                           std::size_t line) {
    if (line >= levels_db.size()) return std::nullopt;
    const Hertz f = first + step * static_cast<double>(line);
    const FrequencyBand band = critical_band(f);
    const double from = std::ceil((band.low - first) / step), to = std::floor((band.high - first) / step);
    if (f.value() < lowest || from < 0.0 || to >= static_cast<double>(levels_db.size())) return std::nullopt;

    const auto offset = static_cast<std::size_t>(from);
    std::vector<double> powers;
    for (auto i = offset; i <= static_cast<std::size_t>(to); ++i)
        powers.push_back(power_of(Decibel{levels_db[i]}));
    const std::size_t at = line - offset;
    // L_S carries the window's correction while lines are compared with it.
    const double over = std::pow(10.0, 0.6) / hann_widening;
    const double noise = noise_lines(powers, at, over).mean;
    if (!(powers[at] > noise * over)) return std::nullopt;

    const auto [low, high] = tone_run(powers, at, std::max(noise * over, powers[at] / 10.0));
    double sum = 0.0;
    for (std::size_t i = low; i <= high; ++i) sum += powers[i];
    if (high > low) sum /= hann_widening;  // one line alone takes no correction

    Audibility a{};
    a.first = low + offset;
    a.last = high + offset;
    a.noise_line = decibel_of_power(noise / hann_widening);
    a.tone = decibel_of_power(sum);
    a.noise_band = a.noise_line + decibel_of_power(band.width() / step);
    a.masking = masking_index(f);
    a.audibility = a.tone - a.noise_band - a.masking;
    a.narrow_enough = step.value() * static_cast<double>(high - low + 1) <= 26.0 * (1.0 + 0.001 * f.value());
    return a;
}

Decibel level_sum(std::span<const Decibel> levels) {
    double sum = 0.0;
    for (const Decibel l : levels) sum += power_of(l);
    return decibel_of_power(sum);
}

Decibel level_mean(std::span<const Decibel> levels) {
    return level_sum(levels) - decibel_of_power(static_cast<double>(levels.size()));
}

int tonal_adjustment(Decibel mean_audibility) {
    static constexpr std::array ends{0.0, 2.0, 4.0, 6.0, 9.0, 12.0};
    return static_cast<int>(
        std::count_if(ends.begin(), ends.end(), [&](double end) { return mean_audibility.value() > end; }));
}

}  // namespace cranknote::signal
