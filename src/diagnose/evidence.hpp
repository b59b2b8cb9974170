// How probable a complaint's features are if a given cause makes it. Pure judgement over causes.hpp by the
// numbers of likelihoods.hpp; which states it was heard in is course.hpp's.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "diagnose/causes.hpp"
#include "diagnose/complaints.hpp"
#include "diagnose/likelihoods.hpp"

namespace cranknote {

/// What stays the same while one result is weighed.
struct Grounds {
    const Layout& layout;
    const Likelihoods& l;
};

/// Density of the logarithm of a found ratio under a predicted one: normal around it with the prediction's
/// and the finding's errors, spread downwards evenly over the creep of friction belts.
/// `harmonic` 1 is the fundamental. Integrates to 1 over log ratio.
/// Where the count behind it is not known, every whole number that it may be is as likely as the next.
[[nodiscard]] double line_density(const HeardAt& line, int harmonic, Ratio found, double found_error,
                                  double floor_error, double wrong_count_spread);

/// Natural logarithm of the density of what was found (ratio, beat, character, follows, band, presence)
/// under this cause. Only differences between causes mean something.
[[nodiscard]] double log_features(const Grounds& g, const Cause& cause, const FindingGroup& complaint);

/// One sentence and what it is worth in natural log odds against a cause that predicts nothing:
/// above 0 it speaks for the cause, below against.
struct Reason {
    double log_odds = 0.0;
    std::string text;
};
[[nodiscard]] std::vector<Reason> feature_reasons(const Grounds& g, const Cause& cause,
                                                  const FindingGroup& complaint);

/// The line of this cause that explains a finding best, if one comes within its tolerance.
[[nodiscard]] std::optional<Explanation> explanation_of(const Grounds& g, const Cause& cause,
                                                        const Finding& finding);

/// log(exp a + exp b), without overflow.
[[nodiscard]] double log_sum(double a, double b);

/// "Something else": a cause that predicts nothing in particular.
[[nodiscard]] Cause something_else();

}  // namespace cranknote
