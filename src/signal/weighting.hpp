// The ear's weighting and the standard bands.
#pragma once

#include <vector>

#include "units/units.hpp"

namespace cranknote::signal {

/// A-weighting: to be added to a level at this frequency. 0 dB at 1 kHz; -infinity at 0 Hz.
/// IEC 61672-1:2013, annex E, with the exact pole frequencies.
[[nodiscard]] Decibel a_weighting(Hertz f);
/// C-weighting, as above.
[[nodiscard]] Decibel c_weighting(Hertz f);

/// A band of 1/fraction octave.
struct Band {
    Hertz low, middle, high;
};

/// The band whose middle is `place` steps of 1/fraction octave from 1 kHz (odd fractions), or `place` and a
/// half steps (even fractions): middle = 1000 G^(place/fraction) Hz with G = 10^0.3, edges middle G^(+-1/(2
/// fraction)). IEC 61260-1:2014, clauses 5.2 to 5.5. fraction >= 1.
[[nodiscard]] Band band_of(int fraction, int place);

/// All bands of 1/fraction octave whose middles lie in [from, to], rising. Neighbours share their edge. Empty
/// for from > to, or from not above 0.
[[nodiscard]] std::vector<Band> fractional_octave_bands(int fraction, Hertz from, Hertz to);

/// The rounded name of an octave or third-octave middle (1000 * 10^(n/10)): 31.5, 40, 50 ... 1250, 1600 Hz.
/// IEC 61260-1:2014, annex E; the nearest of the series is given.
[[nodiscard]] Hertz nominal_middle(Hertz middle);

}  // namespace cranknote::signal
