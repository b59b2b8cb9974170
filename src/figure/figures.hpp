// The figures of this program: results in, Figure out. No file, no surface, no number computed but for
// ranges.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "compare/comparison.hpp"
#include "diagnose/diagnose.hpp"
#include "figure/captions.hpp"
#include "figure/figure.hpp"
#include "layout/layout.hpp"

namespace cranknote::figure {

/// A predicted line to be shown in a figure (of the part under the pointer).
struct Predicted {
    Ratio ratio;
    std::string text;
};

struct ComparisonView {
    bool over_hz = false;                              ///< else over ratio to the crank
    std::string a = "before", b = "after";             ///< what the sides are called
    std::optional<std::pair<double, double>> range{};  ///< of x to show (Hz or ratio); absent: all
    std::set<std::string> lit{};                       ///< ids of findings to light
    std::vector<Predicted> predicted{};
    std::string title{};
    Captions words{};
};

/// Both states' levels, and below the change with its interval; flagged findings shaded and named in both.
/// Ids of targets are those of findings. Stays readable without a crank speed (then over Hz only).
[[nodiscard]] Figure comparison_figure(const Comparison& comparison, const ComparisonView& view = {});

/// Crank speed through time, its mean with interval. A reading without a mean gives a figure that says so.
[[nodiscard]] Figure speed_figure(const SpeedReading& speed, const std::string& title = {},
                                  const Captions& words = {});

}  // namespace cranknote::figure
