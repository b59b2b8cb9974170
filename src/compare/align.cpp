#include "compare/align.hpp"

#include <algorithm>
#include <cmath>

#include "portrait/features.hpp"

namespace cranknote {

namespace {

constexpr double steepest = 1.5;  // dB per octave: more is no microphone's colour but a change of sound

double median(std::vector<double> v) {
    if (v.empty()) return 0.0;
    const auto m = v.begin() + static_cast<std::ptrdiff_t>(v.size() / 2);
    std::nth_element(v.begin(), m, v.end());
    return *m;
}

std::optional<double> mean_level(const std::vector<const Portrait*>& side, Hertz low, Hertz high) {
    double sum = 0.0;
    for (const auto* p : side) {
        const auto r = band_level(*p, low, high);
        if (!r) return std::nullopt;
        sum += r->level.value();
    }
    return sum / static_cast<double>(side.size());
}

}  // namespace

double Alignment::at(Hertz f) const {
    return offset.value() + slope_db_per_octave * std::log2(f.value() / 1000.0);
}

Alignment align(const std::vector<const Portrait*>& a, const std::vector<const Portrait*>& b, Hertz low,
                Hertz high, bool same_placement) {
    Alignment al;
    if (same_placement) return al;
    std::vector<double> octave, difference;
    const double third = std::exp2(1.0 / 3.0);
    for (double f = std::max(100.0, low.value()); f * third <= high.value(); f *= third) {
        const auto la = mean_level(a, Hertz{f}, Hertz{f * third}),
                   lb = mean_level(b, Hertz{f}, Hertz{f * third});
        if (!la || !lb) continue;
        octave.push_back(std::log2(f * std::sqrt(third) / 1000.0));
        difference.push_back(*lb - *la);
    }
    if (difference.size() < 3) {
        al.offset = Decibel{median(difference)};
        return al;
    }
    std::vector<double> slopes;
    for (std::size_t i = 0; i < octave.size(); ++i)
        for (std::size_t j = i + 1; j < octave.size(); ++j)
            slopes.push_back((difference[j] - difference[i]) / (octave[j] - octave[i]));
    al.slope_db_per_octave = std::clamp(median(slopes), -steepest, steepest);
    std::vector<double> rest;
    for (std::size_t i = 0; i < octave.size(); ++i)
        rest.push_back(difference[i] - al.slope_db_per_octave * octave[i]);
    al.offset = Decibel{median(rest)};
    return al;
}

}  // namespace cranknote
