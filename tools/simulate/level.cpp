#include "simulate/level.hpp"

#include <algorithm>
#include <cmath>

namespace cranknote::simulate {

namespace {

/// Mean density over a sixth octave about each of a row of mid-bands, 24 to the octave.
struct Smoothed {
    std::vector<double> hz, density;
};

Smoothed smooth(const Spectrum& s) {
    Smoothed out;
    const double top = s.step * static_cast<double>(s.power.size() - 1);
    const double half = std::exp2(1.0 / 12.0);
    for (double hz = 60.0; hz * half < top; hz *= std::exp2(1.0 / 24.0)) {
        out.hz.push_back(hz);
        out.density.push_back(s.between(hz / half, hz * half) / (hz * half - hz / half));
    }
    return out;
}

}  // namespace

std::pair<double, double> fault_band(const Spectrum& fault) {
    const auto s = smooth(fault);
    const auto peak =
        static_cast<std::size_t>(std::max_element(s.density.begin(), s.density.end()) - s.density.begin());
    const double least = s.density[peak] / 10.0;
    auto low = peak, high = peak;
    while (low > 0 && s.density[low - 1] >= least) --low;
    while (high + 1 < s.hz.size() && s.density[high + 1] >= least) ++high;
    std::pair band{s.hz[low], s.hz[high]};
    const double third = std::pow(10.0, 0.1), middle = std::sqrt(band.first * band.second);
    if (band.second / band.first < third) band = {middle / std::sqrt(third), middle * std::sqrt(third)};
    return band;
}

double level_in(const Spectrum& fault, const Spectrum& healthy, std::pair<double, double> band) {
    const double f = fault.between(band.first, band.second), h = healthy.between(band.first, band.second);
    return f > 0.0 && h > 0.0 ? 10.0 * std::log10(f / h) : -200.0;
}

}  // namespace cranknote::simulate
