// Where an axis has its ticks: at numbers that people count in.
#pragma once

#include <string>
#include <vector>

#include "figure/figure.hpp"

namespace cranknote::figure {

struct Tick {
    double at = 0.0;
    std::string text;  ///< empty: a thin line only
    bool major = true;
};

/// Ticks from `from` to `to` (from < to, both finite; for a logarithmic scale both > 0), about `most` of them
/// with text. Linear: steps of 1, 2 or 5 times a power of ten. Logarithmic: 1, 2, 5 in each decade, thinned
/// to decades where there are too many; steps as on a linear scale where less than a third of a decade is
/// shown.
[[nodiscard]] std::vector<Tick> ticks_for(Scale scale, double from, double to, int most);

/// Writes units to the numbers: at each (×, Hz), or at the largest only (dB, rpm, mm, s, %).
void name_ticks(std::vector<Tick>& ticks, Unit unit);

/// The linear step (1, 2 or 5 times a power of ten) that divides `span` into at most `most` steps.
[[nodiscard]] double tick_step(double span, int most);

}  // namespace cranknote::figure
