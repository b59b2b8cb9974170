#include "signal/robust.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace cranknote::signal {
namespace {

template <class T>
std::vector<T> without_nan(std::span<const T> values) {
    std::vector<T> kept;
    kept.reserve(values.size());
    for (const T v : values) {
        if (!std::isnan(v)) kept.push_back(v);
    }
    return kept;
}

/// Reorders `values`, which must hold no NaN.
template <class T>
T median_in_place(std::vector<T>& values) {
    if (values.empty()) return std::numeric_limits<T>::quiet_NaN();
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    if (values.size() % 2 == 1) return *middle;
    return (*middle + *std::max_element(values.begin(), middle)) / T{2};
}

}  // namespace

double median(std::span<const double> values) {
    auto kept = without_nan(values);
    return median_in_place(kept);
}

float median(std::span<const float> values) {
    auto kept = without_nan(values);
    return median_in_place(kept);
}

double sample_quantile(std::span<const double> values, double p) {
    auto kept = without_nan(values);
    if (kept.empty() || !(p >= 0.0 && p <= 1.0)) return std::numeric_limits<double>::quiet_NaN();
    const double place = p * static_cast<double>(kept.size() - 1);
    const auto below = static_cast<std::size_t>(place);
    const auto at = kept.begin() + static_cast<std::ptrdiff_t>(below);
    std::nth_element(kept.begin(), at, kept.end());
    if (below + 1 == kept.size()) return *at;
    return std::lerp(*at, *std::min_element(at + 1, kept.end()), place - static_cast<double>(below));
}

double median_deviation(std::span<const double> values) {
    auto kept = without_nan(values);
    const double centre = median_in_place(kept);
    for (double& v : kept) v = std::abs(v - centre);
    return 1.4826022185056018 * median_in_place(kept);  // 1 / the normal distribution's 0.75 quantile
}

double weighted_median(std::span<const double> values, std::span<const double> weights) {
    std::vector<std::size_t> order;
    double total = 0.0;
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (std::isnan(values[i]) || !(weights[i] > 0.0)) continue;
        order.push_back(i);
        total += weights[i];
    }
    std::sort(order.begin(), order.end(),
              [&](std::size_t a, std::size_t b) { return values[a] < values[b]; });
    double passed = 0.0;
    for (std::size_t i = 0; i < order.size(); ++i) {
        passed += weights[order[i]];
        const bool split = std::abs(passed - total / 2.0) <= 1e-12 * total;
        if (split && i + 1 < order.size()) return (values[order[i]] + values[order[i + 1]]) / 2.0;
        if (split || passed > total / 2.0) return values[order[i]];
    }
    return std::numeric_limits<double>::quiet_NaN();
}

Line theil_sen(std::span<const double> x, std::span<const double> y) {
    std::vector<double> slopes, rest;
    for (std::size_t i = 0; i < x.size(); ++i) {
        for (std::size_t j = 0; j < i; ++j) {
            const double slope = (y[i] - y[j]) / (x[i] - x[j]);
            if (std::isfinite(slope)) slopes.push_back(slope);
        }
    }
    Line line{slopes.empty() ? 0.0 : median_in_place(slopes), 0.0};
    for (std::size_t i = 0; i < x.size(); ++i) {
        const double left = y[i] - line.slope * x[i];
        if (!std::isnan(left)) rest.push_back(left);
    }
    line.intercept = median_in_place(rest);
    return line;
}

double huber_location(std::span<const double> values, double tuning) {
    const auto kept = without_nan(values);
    double location = median(kept);
    const double limit = tuning * median_deviation(kept);
    if (!(limit > 0.0)) return location;
    for (int i = 0; i < 100; ++i) {
        double sum = 0.0, weight = 0.0;
        for (const double v : kept) {
            const double w = std::min(1.0, limit / std::max(std::abs(v - location), 1e-300));
            sum += w * v;
            weight += w;
        }
        const double next = sum / weight;
        const bool done = std::abs(next - location) < 1e-12 * limit;
        location = next;
        if (done) break;
    }
    return location;
}

}  // namespace cranknote::signal
