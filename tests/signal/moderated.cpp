#include "signal/moderated.hpp"

#include <cmath>
#include <random>

#include "signal/discovery.hpp"
#include "signal/distribution.hpp"
#include "within.hpp"

using namespace cranknote::signal;
using cranknote::test::within;

namespace {

/// Variances of bands drawn from Smyth's model: s0^2 d0 / chi2(d0), each then estimated with `dof` degrees.
std::vector<double> drawn(std::mt19937_64& random, std::size_t bands, double s0, double d0, double dof) {
    std::chi_squared_distribution<double> prior(d0), own(dof);
    std::vector<double> v(bands);
    for (double& x : v) {
        const double truth = std::isinf(d0) ? s0 : s0 * d0 / prior(random);
        x = truth * own(random) / dof;
    }
    return v;
}

}  // namespace

TEST_CASE("the prior of variances is found again") {
    std::mt19937_64 random(2004);
    const auto v = drawn(random, 20000, 2.5, 6.0, 3.0);
    const auto prior = fit_variance_prior(v, std::vector<double>(v.size(), 3.0));
    CHECK_THAT(prior.dof, within(6.0, 0.6, "moments of 20000 logarithms: about 3 % standard error"));
    CHECK_THAT(prior.variance, within(2.5, 0.1, "ln s0^2 to 0.01 from 20000 logarithms"));

    const auto same = drawn(random, 20000, 4.0, INFINITY, 3.0);
    const auto shared = fit_variance_prior(same, std::vector<double>(same.size(), 3.0));
    CHECK(shared.dof > 50.0);  // no more spread than chance: (nearly) one variance for all
    CHECK_THAT(shared.variance, within(4.0, 0.15, "ln s0^2 to 0.01, and a finite dof moves it a little"));
}

TEST_CASE("the prior of few or odd bands") {
    const std::vector<double> alike = {2.0, 2.0, 2.0}, dofs = {4.0, 4.0, 4.0};
    const auto prior = fit_variance_prior(alike, dofs);
    CHECK(std::isinf(prior.dof));
    // E ln(chi2_4 / 4) = psi(2) - ln 2 = -0.27036: alike samples come from a larger variance
    CHECK_THAT(prior.variance, within(2.0 * std::exp(0.2703628), 1e-6, "psi(2) = 1 - Euler's constant"));
    CHECK(fit_variance_prior(std::vector<double>{2.0}, std::vector<double>{4.0}).dof == 0.0);
    CHECK(std::isnan(fit_variance_prior({}, {}).variance));
    const std::vector<double> odd = {2.0, 0.0, std::nan(""), 2.0, 2.0}, odd_dofs = {4.0, 4.0, 4.0, 0.0, 4.0};
    CHECK_THAT(fit_variance_prior(odd, odd_dofs).variance,
               within(prior.variance, 1e-12, "only the two sound ones count"));
}

TEST_CASE("moderated variances") {
    const auto m = moderated({2.0, 6.0}, 5.0, 3.0);
    CHECK_THAT(m.variance, within(3.0, 1e-15, "(6 2 + 3 5) / 9"));
    CHECK(m.dof == 9.0);
    CHECK(moderated({2.0, 6.0}, std::nan(""), 0.0).variance == 2.0);  // no takes of its own
    CHECK(moderated({2.0, 0.0}, 5.0, 3.0).dof == 3.0);                // nothing learned
    CHECK(moderated({2.0, INFINITY}, 5.0, 3.0).variance == 2.0);
    CHECK_THAT(moderated_p(2.0 * std::sqrt(3.0), m, 1.0),
               within(two_sided(StudentT{9}, 2.0), 1e-15, "the definition"));
    CHECK(std::isnan(moderated_p(1.0, {0.0, 3.0}, 1.0)));
    const auto pool =
        pooled_variance(std::vector<double>{1.0, 4.0, std::nan("")}, std::vector<double>{2.0, 1.0, 5.0});
    CHECK_THAT(pool.variance, within(2.0, 1e-15, "(2 1 + 1 4) / 3"));
    CHECK(pool.dof == 3.0);
    CHECK(pooled_variance({}, {}).dof == 0.0);
}

TEST_CASE("moderation keeps its promise and finds more than bands alone") {
    // 30 bands, two takes a side, spread differing from band to band; no change in 25 of them, 12 dB in 5.
    std::mt19937_64 random(30);
    std::normal_distribution<double> gauss;
    std::chi_squared_distribution<double> chi(8.0);
    int alone_found = 0, moderated_found = 0, false_p = 0, nulls = 0;
    for (int trial = 0; trial < 300; ++trial) {
        std::vector<double> difference(30), variance(30), dofs(30, 2.0), alone(30), together(30);
        for (std::size_t b = 0; b < 30; ++b) {
            const double sd = 2.0 * std::sqrt(8.0 / chi(random));
            const double a0 = sd * gauss(random), a1 = sd * gauss(random), b0 = sd * gauss(random),
                         b1 = sd * gauss(random);
            difference[b] = (b0 + b1 - a0 - a1) / 2.0 + (b < 5 ? 12.0 : 0.0);
            variance[b] = ((a0 - a1) * (a0 - a1) + (b0 - b1) * (b0 - b1)) / 4.0;
        }
        const auto prior = fit_variance_prior(variance, dofs);
        for (std::size_t b = 0; b < 30; ++b) {
            alone[b] = moderated_p(difference[b], {variance[b], 2.0}, 1.0);
            together[b] = moderated_p(difference[b], moderated(prior, variance[b], 2.0), 1.0);
            if (b >= 5) {
                ++nulls;
                false_p += together[b] <= 0.05 ? 1 : 0;
            }
        }
        const auto q_alone = benjamini_hochberg(alone), q_together = benjamini_hochberg(together);
        for (std::size_t b = 0; b < 5; ++b) {
            alone_found += q_alone[b] <= 0.05 ? 1 : 0;
            moderated_found += q_together[b] <= 0.05 ? 1 : 0;
        }
    }
    const auto share =
        wilson_interval(static_cast<std::size_t>(false_p), static_cast<std::size_t>(nulls), 0.999);
    CHECK(share.low < 0.06);  // the stated level 0.05, and a point for the prior's own error
    CHECK(share.high > 0.04);
    CHECK(moderated_found > 3 * alone_found);
}
