#include "portrait/features.hpp"

#include <algorithm>
#include <cmath>
#include <span>

#include "signal/spectrum.hpp"

namespace cranknote {

namespace {

double db(double power) { return 10.0 * std::log10(std::max(power, 1e-20)); }

bool holds(const Portrait& p, Hertz low, Hertz high) {
    return !p.hz.density.empty() && low >= p.hz_low * 0.999 && high <= p.hz_high * 1.001;
}

/// Standard error of the mean of a band's level through time.
double unsteadiness(const Portrait& p, double low, double high) {
    const std::size_t n = p.hz.stretches.size();
    if (n < 3) return 2.0;  // too short to tell: a cautious guess
    double sum = 0.0, square = 0.0;
    for (const auto& s : p.hz.stretches) {
        const double v = db(signal::band_power(s, p.hz.step, low, high));
        sum += v, square += v * v;
    }
    const double m = sum / static_cast<double>(n);
    const double variance = std::max(0.0, square / static_cast<double>(n) - m * m) * static_cast<double>(n) /
                            static_cast<double>(n - 1);
    return std::sqrt(variance / static_cast<double>(n));
}

std::optional<Level> strongest(const std::vector<float>& power, const std::vector<float>& floor, double step,
                               double place, double tolerance) {
    const double reach = std::max(tolerance * place, 0.5 * step);
    if (step <= 0.0 || place - reach < step) return std::nullopt;
    const auto a = static_cast<std::size_t>(std::ceil((place - reach) / step));
    const auto b = static_cast<std::size_t>(std::floor((place + reach) / step));
    if (b >= power.size()) return std::nullopt;
    std::size_t best = a;
    for (std::size_t k = a; k <= std::max(a, b); ++k)
        if (power[k] > power[best]) best = k;
    const double f = static_cast<double>(floor[best]), v = std::max(static_cast<double>(power[best]), f);
    return Level{Decibel{db(v)}, db(v) - db(f), 0.0};
}

}  // namespace

std::optional<Level> band_level(const Portrait& p, Hertz low, Hertz high) {
    if (!holds(p, low, high)) return std::nullopt;
    return Level{Decibel{db(signal::band_power(p.hz.density, p.hz.step, low.value(), high.value()))}, 0.0,
                 unsteadiness(p, low.value(), high.value())};
}

std::optional<Level> bump_level(const Portrait& p, Hertz low, Hertz high) {
    if (!holds(p, low, high)) return std::nullopt;
    const double own =
        db(signal::band_power(p.hz.density, p.hz.step, low.value(), high.value()) / (high - low).value());
    std::vector<double> around;
    const double twelfth = std::exp2(1.0 / 12.0);
    for (int side = 0; side < 2; ++side)
        for (int i = 1; i <= 6; ++i) {
            const double a =
                side == 0 ? low.value() / std::pow(twelfth, i) : high.value() * std::pow(twelfth, i - 1);
            if (!holds(p, Hertz{a}, Hertz{a * twelfth})) continue;
            around.push_back(
                db(signal::band_power(p.hz.density, p.hz.step, a, a * twelfth) / (a * (twelfth - 1.0))));
        }
    if (around.size() < 6) return std::nullopt;
    std::nth_element(around.begin(), around.begin() + static_cast<std::ptrdiff_t>(around.size() / 2),
                     around.end());
    const double above = own - around[around.size() / 2];
    return Level{Decibel{above}, above, unsteadiness(p, low.value(), high.value())};
}

std::optional<Level> tone_level(const ToneSpectrum& t, double place, double tolerance) {
    return strongest(t.power, t.floor, t.step, place, tolerance);
}

std::optional<Level> beat_level(const BeatSpectrum& b, double place, double tolerance) {
    return strongest(b.power, b.floor, b.step, place, tolerance);
}

std::vector<Peak> peaks_of(const std::vector<float>& power, const std::vector<float>& floor, double step,
                           double from, double prominence_db, std::size_t at_most) {
    std::vector<Peak> peaks;
    for (std::size_t k = 2; k + 2 < power.size(); ++k) {
        if (static_cast<double>(k) * step < from) continue;
        const float v = power[k];
        if (v < power[k - 1] || v <= power[k + 1] || v < power[k - 2] || v < power[k + 2]) continue;
        const double above = db(static_cast<double>(v)) - db(static_cast<double>(floor[k]));
        if (above < prominence_db) continue;
        // Centroid of what stands above the floor: exact for a flat-topped, width-summed line.
        double weight = 0.0, moment = 0.0;
        for (std::size_t j = k - 2; j <= k + 2; ++j) {
            const double w = std::max(0.0, static_cast<double>(power[j] - floor[j]));
            weight += w, moment += w * static_cast<double>(j);
        }
        peaks.push_back({weight > 0 ? moment / weight * step : static_cast<double>(k) * step, above,
                         db(static_cast<double>(v))});
    }
    std::sort(peaks.begin(), peaks.end(),
              [](const Peak& a, const Peak& b) { return a.prominence > b.prominence; });
    if (peaks.size() > at_most) peaks.resize(at_most);
    return peaks;
}

}  // namespace cranknote
