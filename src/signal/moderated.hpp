// Spread learned from many bands together, for when each band has only two or three recordings of its own.
//
// A variance from two takes is nearly worthless alone; thirty of them say well what such variances are like.
// Each band's variance is drawn towards that, and gains the degrees of freedom that the many lend it. Source:
// Smyth 2004, Stat. Appl. Genet. Mol. Biol. 3(1), article 3 (sections 3 and 6.2), where genes are bands.
#pragma once

#include <span>
#include <vector>

namespace cranknote::signal {

/// Variances across bands follow `variance` times dof / chi-square(dof): a prior worth `dof` degrees of
/// freedom. dof is infinite where the bands differ no more than chance (all share one variance), 0 where
/// nothing is known.
struct VariancePrior {
    double variance, dof;
};

/// One band's spread after moderation; use it in StudentT{dof}.
struct Moderated {
    double variance, dof;
};

/// Fits the prior to sample variances with their degrees of freedom by matching mean and variance of ln s^2
/// (digamma and trigamma). Entries that are not above 0, or whose dof is not, are left out (measured levels
/// are never exactly alike). One entry left gives {its variance as corrected for the mean of ln, dof 0}; none
/// gives {NaN, 0}. variances.size() == dofs.size().
[[nodiscard]] VariancePrior fit_variance_prior(std::span<const double> variances,
                                               std::span<const double> dofs);

/// (d0 s0^2 + d s^2) / (d0 + d), with d0 + d degrees of freedom. A band without takes of its own (dof 0) gets
/// the prior as it is.
[[nodiscard]] Moderated moderated(const VariancePrior& prior, double variance, double dof);

/// Two-sided p of a difference whose variance is `scale` times the band's (1/n_a + 1/n_b for means of takes).
/// NaN where the variance is not above 0.
[[nodiscard]] double moderated_p(double difference, const Moderated& spread, double scale);

/// Plain pooling: sum d s^2 / sum d, with sum d degrees of freedom; what to use where bands are known to be
/// alike. The same entries are left out, except that a variance of 0 counts. None left gives {NaN, 0}.
[[nodiscard]] Moderated pooled_variance(std::span<const double> variances, std::span<const double> dofs);

}  // namespace cranknote::signal
