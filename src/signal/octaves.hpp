// A signal halved in frequency again and again: cheap octave bands.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace cranknote::signal {

/// What halving leaves. All parts start at the signal's first sample and have no delay.
struct Octaves {
    std::vector<float> kept;                       ///< the lower part after `keep` halvings
    std::vector<float> low;                        ///< the lower part after all of them
    std::vector<std::vector<float>> mean_squares;  ///< of each octave split off, highest first, at low's rate
};

/// Splits x `halvings` times by a half-band filter (Kaiser window, 24 samples long, 60 dB) and its mirror
/// image: what lies below 0.17 or above 0.33 of a stage's rate appears in the wrong half at -60 dB or less;
/// between, both halves overlap. Mean squares are weighed by a triangle that reaches one of low's steps to
/// either side; the last octave split off has none (one real sample a step is no mean). Beyond the ends there
/// is silence. keep <= halvings; with 0 halvings low is x. Memory beside the results does not grow with x.
[[nodiscard]] Octaves octaves(std::span<const float> x, int halvings, int keep);

}  // namespace cranknote::signal
