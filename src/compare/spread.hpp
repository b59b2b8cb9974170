// How far apart two recordings of one state are, without any change in the engine.
#pragma once

#include <vector>

#include "compare/compare.hpp"

namespace cranknote {

/// Standard deviations, in dB, of one recording's reading about the state's own, from one placement and start
/// to the next. A difference of two single recordings has root two of it.
struct SpreadModel {
    double band_third;  ///< level of a third octave after alignment
    double band_octave;
    double band_two;    ///< two octaves
    double bump;        ///< a narrow band over its surroundings
    double tone;        ///< a tone over its local noise where the speed stands still: reflections
    double tone_least;  ///< the same where wander averages over many reflections
    double beat;        ///< a beat's swelling in one carrier band
    double common;      ///< part of the above that members of one family share (share of variance)
};

/// Defaults. Guessed by hand, NOT measured yet: they are to come from the `tune` set's unchanged pairs,
/// widened a little, since other shops differ from simulated ones. Until then a flag's false-discovery rate
/// is not what it says.
[[nodiscard]] const SpreadModel& moved_spread();
/// The same for recordings of one placement, phone untouched.
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
