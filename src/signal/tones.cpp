#include "signal/tones.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "signal/spectrum.hpp"

namespace cranknote::signal {
namespace {

constexpr double lowest = 89.1, highest = 11220.0;  // Hz, the range of ECMA-418-1
constexpr std::size_t fewest_lines = 12;            // five on each side of the tone, and a neighbour
const double six_decibels = std::pow(10.0, 0.6);

bool in_range(Hertz f) { return f.value() >= lowest && f.value() <= highest; }

/// Criterion and slope below 1 kHz.
Decibel criterion(Hertz f, double base, double slope) {
    return Decibel{base + slope * std::max(0.0, std::log10(1000.0 / f.value()))};
}

/// Outer edge of the band below; ECMA-418-1, table 2.
double lower_band_edge(double f) {
    if (f <= 171.4) return 20.0;
    if (f <= 1600.0) return -149.5 + 1.001 * f - 6.90e-5 * f * f;
    return 6.8 + 0.806 * f - 8.20e-6 * f * f;
}

/// Outer edge of the band above; ECMA-418-1, table 3.
double upper_band_edge(double f) {
    if (f <= 1600.0) return 149.5 + 1.035 * f + 7.70e-5 * f * f;
    return 3.3 + 1.215 * f + 2.16e-5 * f * f;
}

double end_of(std::span<const float> density, Hertz step) {
    return step.value() * (static_cast<double>(density.size()) - 1.0);
}

struct Lines {
    std::size_t first, last;  // both included
};

/// The lines that lie within a band.
Lines lines_within(const FrequencyBand& band, Hertz step) {
    return {static_cast<std::size_t>(std::ceil(band.low / step)),
            static_cast<std::size_t>(std::floor(band.high / step))};
}

/// The unbroken run of powers above `limit` around `at`.
Lines run_around(std::span<const double> powers, std::size_t at, double limit) {
    Lines run{at, at};
    while (run.first > 0 && powers[run.first - 1] > limit) --run.first;
    while (run.last + 1 < powers.size() && powers[run.last + 1] > limit) ++run.last;
    return run;
}

/// Power above the noise and its moment about line 0 of the band, of all runs near the tone.
struct Gathered {
    double power = 0.0, moment = 0.0;
};

Gathered gather(std::span<const double> powers, std::size_t at, double limit, double noise, double reach) {
    Gathered sum;
    for (std::size_t i = 0; i < powers.size();) {
        if (!(powers[i] > limit)) {
            ++i;
            continue;
        }
        const Lines run = run_around(powers, i, limit);
        const auto peak = static_cast<std::size_t>(
            std::max_element(powers.begin() + static_cast<std::ptrdiff_t>(run.first),
                             powers.begin() + static_cast<std::ptrdiff_t>(run.last) + 1) -
            powers.begin());
        const double apart = std::abs(static_cast<double>(peak) - static_cast<double>(at));
        for (; i <= run.last; ++i) {
            if (apart > reach) continue;
            sum.power += powers[i] - noise;
            sum.moment += (powers[i] - noise) * static_cast<double>(i);
        }
    }
    return sum;
}

bool overlap(const Tone& a, const Tone& b) { return a.first <= b.last && b.first <= a.last; }

}  // namespace

Hertz critical_bandwidth(Hertz f) {
    const double khz = f.value() / 1000.0;
    return Hertz{25.0 + 75.0 * std::pow(1.0 + 1.4 * khz * khz, 0.69)};
}

FrequencyBand critical_band(Hertz f) {
    const double width = critical_bandwidth(f).value();
    const double low = 0.5 * (std::sqrt(width * width + 4.0 * f.value() * f.value()) - width);
    return {Hertz{low}, Hertz{low + width}};
}

FrequencyBand critical_band_ecma(Hertz f) {
    if (f.value() >= 500.0) return critical_band(f);
    const Hertz half = critical_bandwidth(f) / 2.0;
    return {f - half, f + half};
}

Decibel tone_to_noise_criterion(Hertz f) { return criterion(f, 8.0, 8.33); }

Decibel prominence_criterion(Hertz f) { return criterion(f, 9.0, 10.0); }

Hertz tone_proximity(Hertz f) {
    return Hertz{21.0 * std::pow(10.0, 1.2 * std::pow(std::abs(std::log10(f.value() / 212.0)), 1.8))};
}

std::optional<Decibel> prominence_ratio(std::span<const float> density, Hertz step, Hertz f) {
    if (density.empty() || !in_range(f)) return std::nullopt;
    const FrequencyBand middle = critical_band_ecma(f);
    const double low = lower_band_edge(f.value()), high = upper_band_edge(f.value());
    if (high > end_of(density, step)) return std::nullopt;
    const auto power = [&](double from, double to) { return band_power(density, step.value(), from, to); };
    double below = power(low, middle.low.value());
    if (f.value() <= 171.4) below *= 100.0 / (middle.low.value() - low);
    const double beside = 0.5 * (below + power(middle.high.value(), high));
    if (!(beside > 0.0)) return std::nullopt;
    return decibel_of_power(power(middle.low.value(), middle.high.value()) / beside);
}

bool is_prominent(const Tone& tone) {
    return tone.tone_to_noise >= tone_to_noise_criterion(tone.frequency) ||
           (tone.prominence && *tone.prominence >= prominence_criterion(tone.frequency));
}

NoiseLines noise_lines(std::span<const double> powers, std::size_t left_out, double factor) {
    NoiseLines noise{0.0, std::vector<bool>(powers.size(), true)};
    const double settled = std::pow(10.0, 0.0005);  // 0.005 dB
    double limit = std::numeric_limits<double>::infinity();
    for (;;) {
        std::vector<bool> kept(powers.size());
        double sum = 0.0;
        std::size_t below = 0, above = 0;
        for (std::size_t i = 0; i < powers.size(); ++i) {
            kept[i] = i != left_out && powers[i] <= limit;
            if (!kept[i]) continue;
            sum += powers[i];
            ++(i < left_out ? below : above);
        }
        const bool first = std::isinf(limit);
        if (!first && (below < 5 || above < 5)) return noise;
        const double mean = sum / static_cast<double>(below + above);
        const bool done = !first && noise.mean <= mean * settled;
        noise = {mean, std::move(kept)};
        if (done || !(mean > 0.0)) return noise;
        limit = mean * factor;
    }
}

std::optional<Tone> tone_at(std::span<const float> density, Hertz step, std::size_t line) {
    const Hertz f = step * static_cast<double>(line);
    if (line >= density.size() || !in_range(f)) return std::nullopt;
    const FrequencyBand band = critical_band_ecma(f);
    const Lines lines = lines_within(band, step);
    if (lines.last >= density.size() || lines.last - lines.first + 1 < fewest_lines) return std::nullopt;

    const auto inside = density.subspan(lines.first, lines.last - lines.first + 1);
    const std::vector<double> powers(inside.begin(), inside.end());
    const std::size_t at = line - lines.first;
    const double noise = noise_lines(powers, at, six_decibels).mean;
    const double limit = noise * six_decibels;
    if (!(powers[at] > limit)) return std::nullopt;
    const Lines run = run_around(powers, at, limit);
    for (std::size_t i = run.first; i <= run.last; ++i) {
        if (powers[i] > powers[at]) return std::nullopt;
    }
    const Gathered tone = gather(powers, at, limit, noise, tone_proximity(f) / step);
    const double masking = noise * critical_bandwidth(f).value();
    const Hertz frequency = step * (tone.moment / tone.power + static_cast<double>(lines.first));
    const double power = tone.power * step.value();
    return Tone{frequency,
                run.first + lines.first,
                run.last + lines.first,
                decibel_of_power(power),
                decibel_of_power(power / masking),
                prominence_ratio(density, step, f)};
}

std::vector<Tone> find_tones(std::span<const float> density, Hertz step) {
    std::vector<Tone> tones;
    for (std::size_t i = 1; i + 1 < density.size(); ++i) {
        if (density[i] <= density[i - 1] || density[i] < density[i + 1]) continue;  // not a peak
        const auto tone = tone_at(density, step, i);
        if (!tone) continue;
        if (tones.empty() || !overlap(tones.back(), *tone)) {
            tones.push_back(*tone);
        } else if (tone->level > tones.back().level) {
            tones.back() = *tone;
        }
    }
    return tones;
}

}  // namespace cranknote::signal
