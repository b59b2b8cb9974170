// What kind of sound a finding is, and what its pitch and swelling go with.
#pragma once

#include <optional>
#include <vector>

#include "compare/cells.hpp"
#include "compare/compare.hpp"
#include "portrait/finding.hpp"

namespace cranknote {

/// Fills character, follows, beat_follows, beat ratio (where a band swells), beat_depth, beat_error and
/// presence of a finding whose loud side is `loud`. Of a beat, only what the quiet side lacks counts: the
/// rest is the engine's own.
///  tone    a line, or a bump narrower than a fifth of an octave
///  tick    a beat whose swelling spreads over several multiples: a short knock (Fourier series of a pulse
///  train) scrape  a beat of one or two multiples: it swells hiss    a band without a beat of its own
/// follows: whichever of the ratio and Hz spectra shows the line sharper by 2 dB says so; a bump must hold a
/// line 10 dB over its local noise for that, is free without any line, and unknown between. A bump whose beat
/// spreads over several multiples is a knock that rings: a tick.
void describe(Finding& f, const Cell& head, const std::vector<Take>& loud, const std::vector<Take>& quiet);

/// Lines that any engine makes: a tone on a half order, a beat on a multiple of the firing order. `cylinders`
/// absent: every half order.
[[nodiscard]] bool ordinary(const Cell& c, std::optional<int> cylinders);

}  // namespace cranknote
