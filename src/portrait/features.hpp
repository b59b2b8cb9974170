// One number out of a portrait: the level of a band, a tone or a beat. What comparison, tracking through
// states and the note all read is read here, in one way.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "portrait/portrait.hpp"
#include "units/units.hpp"

namespace cranknote {

/// A level and what limits it.
struct Level {
    Decibel level{0.0};  ///< re full scale; for beats: of the swelling part relative to a fully swelling band
    double prominence = 0.0;  ///< dB above the local floor (tones, beats); 0 for bands
    double within = 0.0;      ///< standard error of `level` from unsteadiness within the recording, dB
};

/// Mean square of a band. Absent where the portrait does not hold the whole band. Unsteadiness from ten
/// stretches of time.
[[nodiscard]] std::optional<Level> band_level(const Portrait& p, Hertz low, Hertz high);

/// How far a narrow band stands above its own surroundings (median of twelfth octaves within half an octave
/// on either side): colour and distance cancel.
[[nodiscard]] std::optional<Level> bump_level(const Portrait& p, Hertz low, Hertz high);

/// A tone's power over its local floor, at a place on the ratio or Hz axis (the strongest line within
/// `tolerance`, relative). The level is that of tone and floor together; it never falls below the floor.
[[nodiscard]] std::optional<Level> tone_level(const ToneSpectrum& t, double place, double tolerance);

/// A beat's mean-square swelling in one carrier band: the strongest line within `tolerance` of `place`.
/// Level 0 dB: the amplitude swells by its own mean (rms). `prominence` is over the floor of a steady band.
[[nodiscard]] std::optional<Level> beat_level(const BeatSpectrum& b, double place, double tolerance);

/// Where a spectrum's lines stand out: local maxima at least `prominence_db` above the floor, strongest
/// first.
struct Peak {
    double place = 0.0;       ///< ratio or Hz, interpolated
    double prominence = 0.0;  ///< dB
    double level = 0.0;       ///< dB
};
[[nodiscard]] std::vector<Peak> peaks_of(const std::vector<float>& power, const std::vector<float>& floor,
                                         double step, double from, double prominence_db, std::size_t at_most);

}  // namespace cranknote
