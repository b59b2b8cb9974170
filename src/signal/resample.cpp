#include "signal/resample.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "signal/special.hpp"

namespace cranknote::signal {

namespace {

constexpr std::size_t phases = 512;
constexpr std::size_t half_taps = 20;
constexpr std::size_t lanes = 8;
constexpr double kernel_beta = 10.0;  // stop band about -100 dB (Kaiser 1974: A = 8.7 + beta / 0.1102)

/// Sum of (h + w g) x over n taps. Eight fixed partial sums, so that the result is the same for every vector
/// width.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__)
__attribute__((target_clones("avx2", "default"), optimize("O3")))
#endif
float weighted_sum(const float* h, const float* g, float w, const float* x, std::size_t n) {
    std::array<float, lanes> sum{};
    for (std::size_t i = 0; i < n; i += lanes)
        for (std::size_t j = 0; j < lanes; ++j) sum[j] += (h[i + j] + w * g[i + j]) * x[i + j];
    return ((sum[0] + sum[4]) + (sum[1] + sum[5])) + ((sum[2] + sum[6]) + (sum[3] + sum[7]));
}

}  // namespace

Interpolator::Interpolator(double bandwidth) {
    const double b = std::clamp(bandwidth, 1e-3, 1.0);
    half_ = static_cast<std::size_t>(std::ceil(static_cast<double>(half_taps) / b / 4.0)) * 4;
    const std::size_t taps = 2 * half_;
    table_.resize((phases + 1) * taps);
    const double i0 = bessel_i0(kernel_beta);
    for (std::size_t p = 0; p <= phases; ++p) {
        const double offset = static_cast<double>(p) / static_cast<double>(phases);
        double sum = 0.0;
        std::vector<double> row(taps);
        for (std::size_t i = 0; i < taps; ++i) {
            const double t = static_cast<double>(i) - static_cast<double>(half_ - 1) - offset;
            const double u = t / static_cast<double>(half_);
            const double window =
                std::abs(u) < 1.0 ? bessel_i0(kernel_beta * std::sqrt(1.0 - u * u)) / i0 : 0.0;
            const double a = std::numbers::pi * b * t;
            row[i] = b * (std::abs(a) < 1e-9 ? 1.0 : std::sin(a) / a) * window;
            sum += row[i];
        }
        for (std::size_t i = 0; i < taps; ++i) table_[p * taps + i] = static_cast<float>(row[i] / sum);
    }
    slope_.resize(phases * taps);
    for (std::size_t i = 0; i < slope_.size(); ++i) slope_[i] = table_[i + taps] - table_[i];
}

float Interpolator::at(std::span<const float> x, double position) const {
    const std::size_t taps = 2 * half_;
    const double whole = std::floor(position);
    const double part = (position - whole) * static_cast<double>(phases);
    const auto p = std::min(static_cast<std::size_t>(part), phases - 1);
    const auto w = static_cast<float>(part - static_cast<double>(p));
    const float* h = table_.data() + p * taps;
    const float* g = slope_.data() + p * taps;
    const auto first = static_cast<std::ptrdiff_t>(whole) - static_cast<std::ptrdiff_t>(half_ - 1);
    const auto n = static_cast<std::ptrdiff_t>(x.size());
    if (first >= 0 && first + static_cast<std::ptrdiff_t>(taps) <= n)
        return weighted_sum(h, g, w, x.data() + first, taps);
    float sum = 0.0F;
    for (std::size_t i = 0; i < taps; ++i) {
        const auto j = first + static_cast<std::ptrdiff_t>(i);
        if (j >= 0 && j < n) sum += (h[i] + w * g[i]) * x[static_cast<std::size_t>(j)];
    }
    return sum;
}

void Interpolator::at(std::span<const float> x, std::span<const double> positions,
                      std::span<float> out) const {
    for (std::size_t i = 0; i < positions.size(); ++i) out[i] = at(x, positions[i]);
}

const Interpolator& full_band_interpolator() {
    static const Interpolator kernel;  // a constant table
    return kernel;
}

std::vector<float> decimated(std::span<const float> x, double rate_in, double rate_out) {
    const double step = rate_in / rate_out;
    if (step <= 1.0) return {x.begin(), x.end()};
    const Interpolator kernel(0.9 / step);
    const auto n = static_cast<std::size_t>(static_cast<double>(x.size()) / step);
    std::vector<float> out(n);
    for (std::size_t i = 0; i < n; ++i) out[i] = kernel.at(x, static_cast<double>(i) * step);
    return out;
}

}  // namespace cranknote::signal
