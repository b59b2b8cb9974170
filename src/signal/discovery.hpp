// Many tests at once: which of them may be called a discovery, and how sure a counted rate is.
//
// All adjusted values answer in the order of the p-values handed in: a test is a discovery at level q when
// its adjusted value is at most q. A p of NaN means "not tested": it is not counted and gets NaN back. An
// empty list gives an empty list. p must lie in 0..1. What is a test (bands, lines and beat lines shown
// together) is decided by compare.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace cranknote::signal {

/// Benjamini-Hochberg adjusted p-values (q-values): min over j >= i of m p_(j) / j. Among those at or below q
/// a share of at most q is false on average, for independent or positively dependent tests.
/// Benjamini & Hochberg 1995, J. R. Statist. Soc. B 57(1); Benjamini & Yekutieli 2001 for dependence.
[[nodiscard]] std::vector<double> benjamini_hochberg(std::span<const double> p);

/// The same with weights: what is more worth testing gets more of the error allowed (p / weight, weights
/// scaled to mean 1 here). Weights must not depend on the p-values. weight 0: never a discovery (1 comes
/// back). Genovese, Roeder & Wasserman 2006, Biometrika 93(3). weights.size() == p.size().
[[nodiscard]] std::vector<double> weighted_benjamini_hochberg(std::span<const double> p,
                                                              std::span<const double> weights);

/// Holds whatever the dependence, at the cost of a factor 1 + 1/2 + ... + 1/m.
/// Benjamini & Yekutieli 2001, Ann. Statist. 29(4).
[[nodiscard]] std::vector<double> benjamini_yekutieli(std::span<const double> p);

/// Holm adjusted p-values: the chance of any false discovery at all stays below the level, whatever the
/// dependence. Holm 1979, Scand. J. Statist. 6.
[[nodiscard]] std::vector<double> holm(std::span<const double> p);

/// Two-stage adaptive procedure at level q: first counts how many tests look null, then spends what that
/// saves. How many of the smallest p-values are discoveries. Benjamini, Krieger & Yekutieli 2006, Biometrika
/// 93(3), definition 6. Proven for independent tests only.
[[nodiscard]] std::size_t two_stage_discoveries(std::span<const double> p, double q);

struct ShareInterval {
    double low, high;  ///< 0..1
};

/// Wilson's score interval of a rate of which `hits` in `tries` were seen, with `confidence` 0..1.
/// {0, 1} for no tries. Wilson 1927, J. Am. Statist. Assoc. 22.
[[nodiscard]] ShareInterval wilson_interval(std::size_t hits, std::size_t tries, double confidence = 0.95);

}  // namespace cranknote::signal
