#include "signal/spectrum.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include "signal/fft.hpp"

namespace cranknote::signal {

namespace {

std::vector<float> hann(std::size_t n) {
    std::vector<float> w(n);
    for (std::size_t i = 0; i < n; ++i)
        w[i] = static_cast<float>(
            0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * static_cast<double>(i) / static_cast<double>(n)));
    return w;
}

/// Effective degrees of freedom of K averaged overlapping Hann segments: 2K / [1 + 2 sum (1 - m/K) rho_m^2]
/// (Welch 1967; Percival & Walden 1993), rho_m the window's correlation with itself moved by m hops.
double hann_dof(std::size_t length, std::size_t hop, std::size_t segments) {
    const auto w = hann(length);
    double energy = 0.0;
    for (const float v : w) energy += static_cast<double>(v) * static_cast<double>(v);
    double sum = 1.0;
    for (std::size_t m = 1; m < segments && m * hop < length; ++m) {
        double c = 0.0;
        for (std::size_t i = 0; i + m * hop < length; ++i)
            c += static_cast<double>(w[i]) * static_cast<double>(w[i + m * hop]);
        sum += 2.0 * (1.0 - static_cast<double>(m) / static_cast<double>(segments)) * (c / energy) *
               (c / energy);
    }
    return 2.0 * static_cast<double>(segments) / sum;
}

/// Calls use(row index, densities) for each segment.
template <class Use>
std::size_t each_segment(std::span<const float> x, double density, std::size_t length, std::size_t hop,
                         Use use) {
    if (length < 4 || x.size() < length || hop == 0) return 0;
    RealFft fft(length);
    const auto w = hann(length);
    double energy = 0.0;
    for (const float v : w) energy += static_cast<double>(v) * static_cast<double>(v);
    const auto scale = static_cast<float>(2.0 / (density * energy));
    std::vector<float> buffer(length), row(length / 2 + 1);
    std::vector<std::complex<float>> lines(length / 2 + 1);
    std::size_t count = 0;
    for (std::size_t start = 0; start + length <= x.size(); start += hop, ++count) {
        const auto segment = x.subspan(start, length);
        double mean = 0.0;
        for (const float v : segment) mean += static_cast<double>(v);
        const auto m = static_cast<float>(mean / static_cast<double>(length));
        for (std::size_t i = 0; i < length; ++i) buffer[i] = (segment[i] - m) * w[i];
        fft.forward(buffer, lines);
        for (std::size_t k = 0; k < row.size(); ++k) row[k] = scale * std::norm(lines[k]);
        row.front() *= 0.5F;
        row.back() *= 0.5F;
        use(count, std::span<const float>(row));
    }
    return count;
}

}  // namespace

Spectrogram spectrogram(std::span<const float> x, double density, std::size_t length, std::size_t hop) {
    Spectrogram s;
    s.step = density / static_cast<double>(length);
    s.hop = static_cast<double>(hop) / density;
    s.lines = length / 2 + 1;
    if (x.size() >= length && hop > 0) s.density.reserve(((x.size() - length) / hop + 1) * s.lines);
    s.rows = each_segment(x, density, length, hop, [&](std::size_t, std::span<const float> row) {
        s.density.insert(s.density.end(), row.begin(), row.end());
    });
    return s;
}

Spectrum averaged(const Spectrogram& s, std::size_t length, std::size_t hop) {
    Spectrum a{s.step, std::vector<float>(s.lines, 0.0F), 0.0, s.rows};
    if (s.rows == 0) return a;
    std::vector<double> sum(s.lines, 0.0);
    for (std::size_t r = 0; r < s.rows; ++r) {
        const auto row = s.row(r);
        for (std::size_t k = 0; k < s.lines; ++k) sum[k] += static_cast<double>(row[k]);
    }
    for (std::size_t k = 0; k < s.lines; ++k)
        a.density[k] = static_cast<float>(sum[k] / static_cast<double>(s.rows));
    a.dof = hann_dof(length, hop, s.rows);
    return a;
}

Spectrum averaged_spectrum(std::span<const float> x, double density, std::size_t length, std::size_t hop) {
    Spectrum a{density / static_cast<double>(length), {}, 0.0, 0};
    std::vector<double> sum(length / 2 + 1, 0.0);
    a.segments = each_segment(x, density, length, hop, [&](std::size_t, std::span<const float> row) {
        for (std::size_t k = 0; k < row.size(); ++k) sum[k] += static_cast<double>(row[k]);
    });
    a.density.assign(sum.size(), 0.0F);
    if (a.segments == 0) return a;
    for (std::size_t k = 0; k < sum.size(); ++k)
        a.density[k] = static_cast<float>(sum[k] / static_cast<double>(a.segments));
    a.dof = hann_dof(length, hop, a.segments);
    return a;
}

double band_power(std::span<const float> density, double step, double low, double high) {
    // Line k stands for the interval (k - 1/2, k + 1/2) step.
    const double last = static_cast<double>(density.size()) - 0.5;
    const double a = std::clamp(low / step, 0.0, last), b = std::clamp(high / step, 0.0, last);
    double power = 0.0;
    for (auto k = static_cast<std::size_t>(std::floor(a + 0.5));
         k < density.size() && static_cast<double>(k) - 0.5 < b; ++k) {
        const double from = std::max(a, static_cast<double>(k) - 0.5),
                     to = std::min(b, static_cast<double>(k) + 0.5);
        power += static_cast<double>(density[k]) * std::max(0.0, to - from) * step;
    }
    return power;
}

}  // namespace cranknote::signal
