#include "signal/moderated.hpp"

#include <cmath>

#include "signal/distribution.hpp"
#include "signal/special.hpp"

namespace cranknote::signal {
VariancePrior fit_variance_prior(std::span<const double> variances, std::span<const double> dofs) {
    // ln s^2 less its expected offset for its own dof; what is left varies about ln s0^2 (Smyth 2004,
    // section 6.2)
    std::vector<double> logs;
    double mean = 0.0, expected = 0.0;
    for (std::size_t i = 0; i < variances.size(); ++i) {
        if (!(variances[i] > 0.0) || !(dofs[i] > 0.0) || variances[i] == infinity) continue;
        logs.push_back(std::log(variances[i]) - digamma(dofs[i] / 2.0) + std::log(dofs[i] / 2.0));
        expected += trigamma(dofs[i] / 2.0);
        mean += logs.back();
    }
    if (logs.empty()) return {nan, 0.0};
    const auto n = static_cast<double>(logs.size());
    mean /= n;
    if (logs.size() == 1) return {std::exp(mean), 0.0};
    double spread = 0.0;
    for (const double e : logs) spread += (e - mean) * (e - mean);
    const double excess = spread / (n - 1.0) - expected / n;
    if (!(excess > 0.0)) return {std::exp(mean), infinity};
    const double half = trigamma_inverse(excess);
    return {std::exp(mean + digamma(half) - std::log(half)), 2.0 * half};
}

Moderated moderated(const VariancePrior& prior, double variance, double dof) {
    if (!(dof > 0.0) || std::isnan(variance)) return {prior.variance, prior.dof};
    if (!(prior.dof > 0.0)) return {variance, dof};
    if (prior.dof == infinity) return {prior.variance, infinity};
    const double total = prior.dof + dof;
    return {(prior.dof * prior.variance + dof * variance) / total, total};
}

double moderated_p(double difference, const Moderated& spread, double scale) {
    const double variance = spread.variance * scale;
    return variance > 0.0 ? two_sided(StudentT{spread.dof}, difference / std::sqrt(variance)) : nan;
}

Moderated pooled_variance(std::span<const double> variances, std::span<const double> dofs) {
    double sum = 0.0, total = 0.0;
    for (std::size_t i = 0; i < variances.size(); ++i) {
        if (!(variances[i] >= 0.0) || !(dofs[i] > 0.0)) continue;
        sum += dofs[i] * variances[i];
        total += dofs[i];
    }
    return {total > 0.0 ? sum / total : nan, total};
}

}  // namespace cranknote::signal
