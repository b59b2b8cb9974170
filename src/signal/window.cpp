#include "signal/window.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <limits>
#include <numbers>
#include <numeric>

#include "signal/special.hpp"

namespace cranknote::signal {
namespace {

using std::numbers::pi;

/// Sum of a_k (-1)^k cos(k phase): every window of raised cosines.
template <std::size_t N>
double cosine_sum(const std::array<double, N>& a, double phase) {
    double sum = 0.0;
    for (std::size_t k = 0; k < N; ++k) {
        sum += (k % 2 == 0 ? a[k] : -a[k]) * std::cos(static_cast<double>(k) * phase);
    }
    return sum;
}

double value_at(WindowShape shape, double place, double alpha) {
    const double phase = 2.0 * pi * place;
    switch (shape) {
        case WindowShape::rectangle:
            return 1.0;
        case WindowShape::triangle:
            return 1.0 - std::abs(2.0 * place - 1.0);
        case WindowShape::hann:
            return cosine_sum(std::array{0.5, 0.5}, phase);
        case WindowShape::hamming:
            return cosine_sum(std::array{0.54, 0.46}, phase);
        case WindowShape::blackman:
            return cosine_sum(std::array{0.42, 0.5, 0.08}, phase);
        case WindowShape::blackman_harris:
            return cosine_sum(std::array{0.35875, 0.48829, 0.14128, 0.01168}, phase);
        case WindowShape::kaiser: {
            const double x = 2.0 * place - 1.0;
            return bessel_i0(pi * alpha * std::sqrt(std::max(0.0, 1.0 - x * x))) / bessel_i0(pi * alpha);
        }
        case WindowShape::flat_top:
            return cosine_sum(std::array{0.21557895, 0.41663158, 0.277263158, 0.083578947, 0.006947368},
                              phase);
    }
    return 0.0;
}

double sum_of(std::span<const double> w) { return std::accumulate(w.begin(), w.end(), 0.0); }

double energy_of(std::span<const double> w) { return std::inner_product(w.begin(), w.end(), w.begin(), 0.0); }

}  // namespace

std::vector<double> window_values(WindowShape shape, std::size_t n, double kaiser_alpha) {
    if (n == 1) return {1.0};
    std::vector<double> w(n);
    for (std::size_t i = 0; i < n; ++i) {
        w[i] = value_at(shape, static_cast<double>(i) / static_cast<double>(n), kaiser_alpha);
    }
    return w;
}

double coherent_gain(std::span<const double> window) {
    return window.empty() ? 0.0 : sum_of(window) / static_cast<double>(window.size());
}

double noise_bandwidth_lines(std::span<const double> window) {
    const double sum = sum_of(window);
    if (sum == 0.0) return std::numeric_limits<double>::quiet_NaN();
    return static_cast<double>(window.size()) * energy_of(window) / (sum * sum);
}

Decibel scallop_loss(std::span<const double> window) {
    std::complex<double> half_way{0.0, 0.0};
    const double step = pi / static_cast<double>(window.size());
    for (std::size_t i = 0; i < window.size(); ++i) {
        half_way += std::polar(1.0, -step * static_cast<double>(i)) * window[i];
    }
    return -decibel_of_amplitude(std::abs(half_way) / std::abs(sum_of(window)));
}

Decibel worst_case_loss(std::span<const double> window) {
    return scallop_loss(window) + decibel_of_power(noise_bandwidth_lines(window));
}

double overlap_correlation(std::span<const double> window, std::size_t hop) {
    const double energy = energy_of(window);
    if (hop >= window.size() || energy == 0.0) return 0.0;
    const auto shifted = window.subspan(hop);
    return std::inner_product(shifted.begin(), shifted.end(), window.begin(), 0.0) / energy;
}

double welch_dof(std::span<const double> window, std::size_t hop, std::size_t segments) {
    if (segments == 0) return 0.0;
    const auto count = static_cast<double>(segments);
    double shared = 0.0;
    for (std::size_t m = 1; m < segments && m * hop < window.size(); ++m) {
        const double rho = overlap_correlation(window, m * hop);
        shared += (1.0 - static_cast<double>(m) / count) * rho * rho;
    }
    return 2.0 * count / (1.0 + 2.0 * shared);
}

}  // namespace cranknote::signal
