// Findings that behave alike are one complaint: one fault is heard in several bands and harmonics.
#pragma once

#include <vector>

#include "portrait/finding.hpp"

namespace cranknote {

/// Findings that are taken to be one sound. The first speaks for all; never empty.
struct FindingGroup {
    std::vector<Finding> findings;
    std::vector<std::size_t> places;  ///< where they stood in what was given
    [[nodiscard]] const Finding& speaker() const { return findings.front(); }
};

/// How much a finding stands out: flagged ones first, then by prominence and change. 0 or more.
[[nodiscard]] double weight_of(const Finding& finding);

/// Whether two findings behave alike: they went the same way, and share a beat, a family of harmonics, or a
/// neighbouring band of the same character.
[[nodiscard]] bool alike(const Finding& a, const Finding& b);

/// Groups in order of weight. Findings whose verdict is "cannot tell" are left out: they say nothing.
[[nodiscard]] std::vector<FindingGroup> grouped(const std::vector<Finding>& findings);

}  // namespace cranknote
