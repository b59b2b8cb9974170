// How far apart two recordings of one state are, without any change in the engine.
#pragma once

#include <vector>

#include "compare/compare.hpp"

namespace cranknote {

/// Standard deviations, in dB, of one recording's reading about the state's own, from one placement and start
/// to the next, beside the room's interference. A difference of two single recordings has root two of it.
/// Interference: at one place a line's power is exponential (Rayleigh fading), and places `coherence_hz`
/// apart are independent (Schroeder 1962: 6.6 / reverberation time); a band holds as many as its power
/// spreads over.
struct SpreadModel {
    bool untouched = false;  ///< the phone lay still: the interference is the same but for a moved pitch
    double coherence_hz = 13.0;
    double fading;      ///< share of the interference that is left beside the direct sound
    double band_third;  ///< level of a third octave after alignment
    double band_octave;
    double band_two;    ///< two octaves
    double bump;        ///< a narrow band over its surroundings
    double tone;        ///< a tone over its local noise
    double beat;        ///< a beat's swelling in one carrier band
    double beat_share;  ///< how much of the carrier's interference a beat shows (share of variance)
    double common;      ///< share of the above that members of one family have in common
};

/// For recordings whose placements differ. The numbers were set by hand until `measure_spread` of tools/score
/// gave, on 40 to 60 unchanged pairs of the `tune` set, changes that lie within two errors in 95 % of cells
/// of each kind or nearly so; simulated rooms and phones, no real ones.
[[nodiscard]] const SpreadModel& moved_spread();
/// For recordings of one placement, phone untouched.
[[nodiscard]] const SpreadModel& untouched_spread();

/// Factor on the defaults from repeats: octave levels of takes of one state compared with each other, shrunk
/// towards 1 with `prior_dof` imagined repeats' worth of trust in the defaults (moderated variance, Smyth
/// 2004).
struct MeasuredSpread {
    bool measured = false;
    double factor = 1.0;
};
[[nodiscard]] MeasuredSpread measured_spread(const std::vector<Take>& a, const std::vector<Take>& b,
                                             const SpreadModel& model);

}  // namespace cranknote
