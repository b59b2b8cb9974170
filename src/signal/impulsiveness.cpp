#include "signal/impulsiveness.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <limits>
#include <numbers>

#include "signal/special.hpp"

namespace cranknote::signal {
double kurtosis(std::span<const float> x) {
    if (x.size() < 2) return nan;
    const auto n = static_cast<double>(x.size());
    double mean = 0.0;
    for (const float v : x) mean += static_cast<double>(v);
    mean /= n;
    double second = 0.0, fourth = 0.0;
    for (const float v : x) {
        const double d = static_cast<double>(v) - mean, dd = d * d;
        second += dd;
        fourth += dd * dd;
    }
    return second > 0.0 ? n * fourth / (second * second) : nan;
}

double kurtosis_deviation(double n) {
    if (!(n > 3.0)) return nan;
    return std::sqrt(24.0 * n * (n - 2.0) * (n - 3.0) / ((n + 1.0) * (n + 1.0) * (n + 3.0) * (n + 5.0)));
}

double crest_factor(std::span<const float> x) {
    double peak = 0.0, energy = 0.0;
    for (const float v : x) {
        const auto d = static_cast<double>(v);
        peak = std::max(peak, std::abs(d));
        energy += d * d;
    }
    return energy > 0.0 ? peak / std::sqrt(energy / static_cast<double>(x.size())) : nan;
}

std::vector<double> spectral_kurtosis(std::span<const float> powers, std::size_t rows, std::size_t lines) {
    std::vector<double> sum(lines, 0.0), squares(lines, 0.0);
    for (std::size_t r = 0; r < rows; ++r) {
        const auto row = powers.subspan(r * lines, lines);
        for (std::size_t i = 0; i < lines; ++i) {
            const auto p = static_cast<double>(row[i]);
            sum[i] += p;
            squares[i] += p * p;
        }
    }
    const auto k = static_cast<double>(rows);
    std::vector<double> result(lines, nan);
    for (std::size_t i = 0; i < lines && rows > 1; ++i) {
        if (sum[i] > 0.0) result[i] = k / (k - 1.0) * ((k + 1.0) * squares[i] / (sum[i] * sum[i]) - 2.0);
    }
    return result;
}

double spectral_kurtosis_deviation(double independent_rows) {
    const double k = independent_rows;
    return k > 1.0 ? 2.0 * k / std::sqrt((k - 1.0) * (k + 2.0) * (k + 3.0)) : nan;
}

double envelope_line(std::span<const float> squared_envelope, double cycles_per_value) {
    constexpr std::size_t block =
        256;  // the turning phase is set anew for each, so that rounding does not grow
    const std::complex<double> turn = std::polar(1.0, -2.0 * std::numbers::pi * cycles_per_value);
    std::complex<double> line{0.0, 0.0};
    double total = 0.0;
    for (std::size_t start = 0; start < squared_envelope.size(); start += block) {
        const double turns = cycles_per_value * static_cast<double>(start);
        auto phase = std::polar(1.0, -2.0 * std::numbers::pi * (turns - std::floor(turns)));
        for (const float e :
             squared_envelope.subspan(start, std::min(block, squared_envelope.size() - start))) {
            line += phase * static_cast<double>(e);
            total += static_cast<double>(e);
            phase *= turn;
        }
    }
    return total > 0.0 ? std::abs(line) / total : nan;
}

double envelope_line_of_depth(double depth) { return depth / (1.0 + depth * depth / 2.0); }

double depth_of_envelope_line(double line) {
    const double discriminant = 1.0 - 2.0 * line * line;
    if (!(line >= 0.0) || discriminant < 0.0) return nan;
    return 2.0 * line /
           (1.0 + std::sqrt(discriminant));  // the smaller root of r m^2/2 - m + r, without cancellation
}

Decibel level_swing(double depth) {
    if (depth >= 1.0) return Decibel{std::numeric_limits<double>::infinity()};
    return decibel_of_amplitude((1.0 + depth) / (1.0 - depth));
}

}  // namespace cranknote::signal
