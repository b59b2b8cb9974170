// A first course of the cycle frequency through time, right up to a simple factor.
#pragma once

#include <vector>

#include "speed/evidence.hpp"
#include "units/units.hpp"

namespace cranknote::speed_detail {

/// A course of the cycle frequency (half the crank's turns per second in a four-stroke).
struct Course {
    std::vector<Seconds> at;
    std::vector<Hertz> cycle;
    std::vector<float> score;  ///< comb score at each of these moments; empty after refinement
    double strength = 0.0;     ///< mean comb score along the course; noise alone stays near 0
};

/// How frames are cut and how the course may change.
struct CoarseSettings {
    Seconds frame{1.6};
    Seconds hop{0.4};
    double grid_step = 0.0025;  ///< relative; a line's width at the highest line used
    Hertz bass_top{1e9};        ///< lines of the bass are looked for up to there (or the bass's own end)
    /// Relative change per second that is looked for inside a frame: each frame is read against a time that
    /// bends so. A run-up of 300 rpm/s at 1000 is 0.3. Only { 0 }: frames are taken as they are.
    std::vector<double> bends{0.0};
    double steepest = 0.10;  ///< largest change per second beyond the bend
};

/// For idles, hunting, slow falls.
[[nodiscard]] CoarseSettings steady_frames();
/// For run-ups, flares and steps: short frames, each tried with many bends. Slower; lines less than 3 Hz
/// apart run together.
[[nodiscard]] CoarseSettings bent_frames();

/// The comb course that explains the frames best, by dynamic programming (Viterbi 1967) over a logarithmic
/// grid of cycle frequencies. Which simple multiple of the true cycle it follows is left open: multiple.hpp
/// decides. Empty if the sound is shorter than a third of a frame.
[[nodiscard]] Course coarse_course(const Evidence& e, Hertz lowest, Hertz highest, const CoarseSettings& s);

}  // namespace cranknote::speed_detail
