// How far a tone stands above what the ear needs to hear it, by ISO/PAS 20065 (DIN 45681; ISO 1996-2:2017,
// annex J).
//
// Works on a narrow-band spectrum of Hann-windowed, A-weighted line levels in dB, 1.9 to 4 Hz apart, of
// averages of 3 s or more. Compared with signal/tones.hpp it needs no clean gap around the tone: neighbouring
// tones are dropped from the noise. Not decided here: the standard's distinctness rule on the steepness of a
// tone's edges (only the one on its bandwidth is), and which tone of a spectrum is decisive.
#pragma once

#include <cstddef>
#include <optional>
#include <span>

#include "units/units.hpp"

namespace cranknote::signal {

struct Audibility {
    std::size_t first, last;  ///< lines of the tone, both included
    Decibel noise_line;       ///< L_S: mean level of a line without tones in the critical band
    Decibel tone;             ///< L_T: level of the tone's lines together
    Decibel noise_band;       ///< L_G: level of the noise in the whole critical band
    Decibel masking;          ///< a_v: how far below L_G a tone is just heard; negative
    Decibel audibility;       ///< Delta L = L_T - L_G - a_v; above 0 it is heard
    bool narrow_enough;       ///< bandwidth at most 26 (1 + 0.001 f) Hz: heard as a tone, not as a band
};

/// The tone whose strongest line is `line`, from line levels (dB) at first, first + step ... Absent where the
/// line is not more than 6 dB above L_S, below 50 Hz, or where the levels do not cover the critical band.
[[nodiscard]] std::optional<Audibility> tonal_audibility(std::span<const double> levels_db, Hertz first,
                                                         Hertz step, std::size_t line);

/// a_v = -2 - lg(1 + (f/502)^2.5) dB.
[[nodiscard]] Decibel masking_index(Hertz f);

/// Delta L from levels that are known already: L_T - (L_S + 10 lg(critical bandwidth / step)) - a_v.
[[nodiscard]] Decibel audibility_of(Decibel tone, Decibel noise_line, Hertz f, Hertz step);

/// Level of several levels together: 10 lg sum 10^(L/10). -infinity for none.
[[nodiscard]] Decibel level_sum(std::span<const Decibel> levels);
/// Energy mean of levels: 10 lg mean 10^(L/10). NaN for none.
[[nodiscard]] Decibel level_mean(std::span<const Decibel> levels);

/// Adjustment K_T in dB for a mean audibility: 0 up to 0 dB, then 1 to 6 in steps ending at 2, 4, 6, 9 and 12
/// dB. (Steps: memory: ISO 1996-2:2017, table J.1.)
[[nodiscard]] int tonal_adjustment(Decibel mean_audibility);

}  // namespace cranknote::signal
