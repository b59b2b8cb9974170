// What two sides have in common: which frequencies, which ratios, and the shift between them.
#pragma once

#include <vector>

#include "compare/align.hpp"
#include "compare/compare.hpp"

namespace cranknote {

/// What limits the axes of a comparison.
struct CommonRange {
    Hertz low{0}, high{0};
    double ratio_low = 0.0, ratio_high = 0.0;  ///< both 0: no ratio axis
};

/// What every take of both sides holds. Fills c.hz, c.ratio and the reasons for limits.
[[nodiscard]] CommonRange common_range(const std::vector<Take>& a, const std::vector<Take>& b, Comparable& c);

/// align() over the common range.
[[nodiscard]] Alignment align_takes(const std::vector<Take>& a, const std::vector<Take>& b,
                                    const CommonRange& range, bool same_placement);

/// A number as text with a point, whatever the locale.
[[nodiscard]] std::string plain_number(double value, int digits);

}  // namespace cranknote
