// Two states of one engine: what changed, by how much, and how sure that is. Table of contents of this
// folder.
//
//   align.hpp     gain and gentle colour of a moved microphone, from what did not change
//   cells.hpp     every band, tone and beat that may have changed, with the difference and its probability by
//   chance spread.hpp    how far apart two recordings of one state are compare.hpp   the flags under one
//   false-discovery control, gathered into findings
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compare/comparison.hpp"
#include "portrait/portrait.hpp"

namespace cranknote {

/// One recording of a side.
struct Take {
    const Portrait* portrait = nullptr;
    RecordingSummary summary;
};

struct CompareSettings {
    bool same_placement = false;    ///< the phone lay untouched between A and B
    double false_discovery = 0.05;  ///< over all cells shown together
    double least_change_db = 3.0;   ///< a smaller change is not flagged when the phone moved
    double least_change_same_placement_db = 1.0;
    std::optional<int> cylinders;  ///< tells the firing order's own lines from others
};

/// Compares two sides of one or more recordings each. Findings are flagged first, then by weight;
/// `explained_by` and `expected` stay empty (diagnose/ fills them). Sides without any usable common range
/// give no findings and say why.
[[nodiscard]] Comparison compare(const std::vector<Take>& a, const std::vector<Take>& b,
                                 const CompareSettings& settings = {});

/// What stands out in one recording without a second: findings with `a` only, `change` absent.
[[nodiscard]] std::vector<Finding> standing_out(const Take& take, const CompareSettings& settings = {});

}  // namespace cranknote
