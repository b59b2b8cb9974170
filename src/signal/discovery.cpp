#include "signal/discovery.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "signal/distribution.hpp"

namespace cranknote::signal {
namespace {

/// Places of the tested p-values, smallest p first.
std::vector<std::size_t> tested_in_order(std::span<const double> p) {
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < p.size(); ++i) {
        if (!std::isnan(p[i])) order.push_back(i);
    }
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return p[a] < p[b]; });
    return order;
}

std::vector<double> untested(std::size_t n) {
    return std::vector<double>(n, std::numeric_limits<double>::quiet_NaN());
}

/// Running minimum from the largest p down of factor m p / rank.
std::vector<double> step_up(std::span<const double> p, double factor) {
    const auto order = tested_in_order(p);
    auto adjusted = untested(p.size());
    double least = 1.0;
    for (std::size_t rank = order.size(); rank > 0; --rank) {
        const double scaled =
            factor * p[order[rank - 1]] * static_cast<double>(order.size()) / static_cast<double>(rank);
        least = std::min(least, scaled);
        adjusted[order[rank - 1]] = least;
    }
    return adjusted;
}

std::size_t discoveries(std::span<const double> adjusted, double q) {
    return static_cast<std::size_t>(
        std::count_if(adjusted.begin(), adjusted.end(), [&](double a) { return a <= q; }));
}

}  // namespace

std::vector<double> benjamini_hochberg(std::span<const double> p) { return step_up(p, 1.0); }

std::vector<double> weighted_benjamini_hochberg(std::span<const double> p, std::span<const double> weights) {
    double total = 0.0, tested = 0.0;
    for (std::size_t i = 0; i < p.size(); ++i) {
        if (std::isnan(p[i])) continue;
        total += weights[i];
        tested += 1.0;
    }
    std::vector<double> weighted(p.begin(), p.end());
    for (std::size_t i = 0; i < p.size(); ++i) {
        if (std::isnan(p[i])) continue;
        weighted[i] =
            weights[i] > 0.0 ? p[i] * total / (tested * weights[i]) : std::numeric_limits<double>::infinity();
    }
    return step_up(weighted, 1.0);
}

std::vector<double> benjamini_yekutieli(std::span<const double> p) {
    double harmonic = 0.0;
    for (std::size_t rank = tested_in_order(p).size(); rank > 0; --rank)
        harmonic += 1.0 / static_cast<double>(rank);
    return step_up(p, harmonic);
}

std::vector<double> holm(std::span<const double> p) {
    const auto order = tested_in_order(p);
    auto adjusted = untested(p.size());
    double most = 0.0;
    for (std::size_t i = 0; i < order.size(); ++i) {
        most = std::max(most, std::min(1.0, p[order[i]] * static_cast<double>(order.size() - i)));
        adjusted[order[i]] = most;
    }
    return adjusted;
}

std::size_t two_stage_discoveries(std::span<const double> p, double q) {
    const auto adjusted = benjamini_hochberg(p);
    const double careful = q / (1.0 + q);
    const auto tested = tested_in_order(p).size();
    const auto first = discoveries(adjusted, careful);
    if (first == 0 || first == tested) return first;
    return discoveries(adjusted, careful * static_cast<double>(tested) / static_cast<double>(tested - first));
}

ShareInterval wilson_interval(std::size_t hits, std::size_t tries, double confidence) {
    if (tries == 0) return {0.0, 1.0};
    const auto n = static_cast<double>(tries);
    const double share = static_cast<double>(hits) / n;
    const double z = quantile_above(Normal{}, 0.5 * (1.0 - confidence)), zz = z * z;
    const double middle = (share + zz / (2.0 * n)) / (1.0 + zz / n);
    const double half = z / (1.0 + zz / n) * std::sqrt(share * (1.0 - share) / n + zz / (4.0 * n * n));
    return {hits == 0 ? 0.0 : middle - half, hits == tries ? 1.0 : middle + half};
}

}  // namespace cranknote::signal
