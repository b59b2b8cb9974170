#include "signal/entropy.hpp"

#include <array>
#include <cmath>
#include <limits>
#include <numeric>

namespace cranknote::signal {

double entropy_bits(std::span<const double> probabilities) {
    const double total = std::accumulate(probabilities.begin(), probabilities.end(), 0.0);
    double bits = 0.0;
    for (const double p : probabilities) {
        if (!(p >= 0.0)) return std::numeric_limits<double>::quiet_NaN();
        if (p > 0.0) bits -= p / total * std::log2(p / total);
    }
    return bits;
}

std::vector<double> posterior(std::span<const double> prior, std::span<const double> likelihood) {
    std::vector<double> result(prior.size());
    double total = 0.0;
    for (std::size_t i = 0; i < prior.size(); ++i) {
        result[i] = prior[i] * likelihood[i];
        total += result[i];
    }
    if (total > 0.0) {
        for (double& p : result) p /= total;
    }
    return result;
}

double expected_entropy_bits(std::span<const double> prior, std::span<const std::vector<double>> outcomes) {
    const double total = std::accumulate(prior.begin(), prior.end(), 0.0);
    double bits = 0.0;
    for (const auto& likelihood : outcomes) {
        const double chance = std::inner_product(prior.begin(), prior.end(), likelihood.begin(), 0.0) / total;
        if (chance > 0.0) bits += chance * entropy_bits(posterior(prior, likelihood));
    }
    return bits;
}

double expected_entropy_bits(std::span<const double> prior, const std::vector<bool>& aimed,
                             double sensitivity, double specificity) {
    std::array<std::vector<double>, 2> outcomes;
    for (std::size_t i = 0; i < prior.size(); ++i) {
        const double yes = aimed[i] ? sensitivity : 1.0 - specificity;
        outcomes[0].push_back(yes);
        outcomes[1].push_back(1.0 - yes);
    }
    return expected_entropy_bits(prior, outcomes);
}

}  // namespace cranknote::signal
