// Two states compared: which cause does the change speak for?
#pragma once

#include <vector>

#include "diagnose/posterior.hpp"

namespace cranknote {

/// What a comparison of two states says of causes.
struct PairVerdict {
    std::vector<Suspect> suspects;  ///< in order; probabilities sum to 1 with "something else" among them
    Conclusion conclusion = Conclusion::open;
    std::vector<Finding> findings;  ///< the comparison's, with explained_by and expected filled
};

/// Weighs what changed (and what stands out and stayed) between state `a` and state `b`.
/// One fault or none is assumed to sound; among the findings at most one group is taken for it, the others
/// for healthy sound (of what was stopped, or of the running engine) or for chance. A finding that is most
/// probably the healthy sound of what stands still gets `expected`.
/// Throws (wrong call) for an unknown name in a.off or b.off.
[[nodiscard]] PairVerdict suspects_of_pair(const Layout& layout, const Comparison& comparison, const State& a,
                                           const State& b, const Hands& hands = {},
                                           const Likelihoods& likelihoods = {});

}  // namespace cranknote
