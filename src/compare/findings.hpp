// Flagged cells gathered into findings: what belongs together is said once, on the axis where it is sharper.
#pragma once

#include <vector>

#include "compare/cells.hpp"
#include "compare/compare.hpp"

namespace cranknote {

/// Findings from judged cells: flagged ones first, then what stands out on both sides and stayed. A family of
/// beats or tones (multiples, neighbouring carrier bands) is one finding; a band that changed where a flagged
/// beat swells is part of that beat's finding.
[[nodiscard]] std::vector<Finding> findings_of(const std::vector<Cell>& cells, const std::vector<Take>& a,
                                               const std::vector<Take>& b, const Alignment& alignment,
                                               const CompareSettings& settings);

}  // namespace cranknote
