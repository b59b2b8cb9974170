// A course made exact: the turns are counted so that the comb's lines are sharpest.
#pragma once

#include <span>
#include <vector>

#include "speed/coarse.hpp"
#include "speed/evidence.hpp"
#include "speed/track.hpp"

namespace cranknote::speed_detail {

/// A short piece of the sound, as its lines on the final course show it.
struct PieceState {
    Seconds at;             ///< its middle
    double strength = 0.0;  ///< mean over the lines of ln(1 + power / noise): near 0.6 where only noise is
    double step = 0.0;      ///< 0 to 1: how much of its lines keeps step with the next piece
};

/// What a refinement knows of itself.
struct Refinement {
    double error = 0.01;     ///< standard error of the mean cycle frequency, relative
    double sharpness = 0.0;  ///< mean comb score of the last pass by strength, per piece; noise gives about 0
    double coherence = 0.0;  ///< 0 to 1: how much of its lines keep step from piece to piece
    std::vector<PieceState> pieces;  ///< of the last pass by phase
};

/// First by strength: against the angle of the present course short pieces are cut, and for each the small
/// relative correction found at which the comb stands out most; a smooth path through the corrections
/// improves the course. Then by phase: each line's phase advance from piece to piece says how far the course
/// is off, the more exactly the higher the line. Last the mean, from phase advances over ever longer spans
/// (like Tretter 1985, many lines at once); on steady combs its error is near the Cramer-Rao bound
/// (tests/speed/bound.cpp).
[[nodiscard]] Course refined(const Evidence& e, Course course, Refinement* about = nullptr);

/// Streams of one rate against the course's angle: `per_cycle` samples a cycle, from second 0 on.
[[nodiscard]] std::vector<std::vector<float>> streams_against_angle(std::span<const Stream> streams,
                                                                    const Course& course, double per_cycle);

/// A cycle course as a track whose "crank turns" are cycles.
[[nodiscard]] SpeedTrack as_track(const Course& c);

/// Mean over the course's knots.
[[nodiscard]] Hertz mean_cycle(const Course& c);

}  // namespace cranknote::speed_detail
