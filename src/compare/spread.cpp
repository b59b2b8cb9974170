#include "compare/spread.hpp"

#include <algorithm>
#include <cmath>

#include "compare/align.hpp"
#include "portrait/features.hpp"

namespace cranknote {

namespace {

constexpr double prior_dof = 8.0;

/// Octave-level residuals between takes of one side, each aligned to the first; adds squares in units of the
/// default.
void add_repeats(const std::vector<Take>& side, const SpreadModel& model, double& squares, double& dof) {
    for (std::size_t i = 1; i < side.size(); ++i) {
        const Portrait &p = *side.front().portrait, &q = *side[i].portrait;
        const Hertz low = std::max(p.hz_low, q.hz_low), high = std::min(p.hz_high, q.hz_high);
        const auto al = align({&p}, {&q}, low, high, false);
        double sum = 0.0;
        int n = 0;
        for (double f = std::max(125.0, low.value()); 2.0 * f <= high.value(); f *= 2.0) {
            const auto a = band_level(p, Hertz{f}, Hertz{2.0 * f}),
                       b = band_level(q, Hertz{f}, Hertz{2.0 * f});
            if (!a || !b) continue;
            const double d = (b->level - a->level).value() - al.at(Hertz{f * 1.414});
            sum += d * d / (2.0 * model.band_octave * model.band_octave);
            ++n;
        }
        if (n < 3) continue;
        // Octaves of one pair are not independent of each other, and two of them went into the line.
        const double independent = 0.5 * (n - 2);
        squares += sum / n * independent;
        dof += independent;
    }
}

}  // namespace

const SpreadModel& moved_spread() {
    static const SpreadModel m{false, 13.0, 0.5, 1.4, 1.2, 1.1, 1.2, 2.4, 1.1, 0.8, 0.4};
    return m;
}

const SpreadModel& untouched_spread() {
    static const SpreadModel m{true, 13.0, 0.5, 0.7, 0.6, 0.5, 0.7, 2.0, 0.8, 0.8, 0.3};
    return m;
}

MeasuredSpread measured_spread(const std::vector<Take>& a, const std::vector<Take>& b,
                               const SpreadModel& model) {
    double squares = 0.0, dof = 0.0;
    add_repeats(a, model, squares, dof);
    add_repeats(b, model, squares, dof);
    if (dof <= 0.0) return {};
    const double variance = (prior_dof + squares) / (prior_dof + dof);
    return {true, std::sqrt(std::clamp(variance, 0.25, 9.0))};
}

}  // namespace cranknote
