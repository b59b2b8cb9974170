// From equal steps of time to equal steps of crank angle, by a speed track.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "speed/track.hpp"
#include "units/units.hpp"

namespace cranknote {

/// Fractional sample positions at which the crank has turned 0, 1/per_turn, 2/per_turn ... turns since
/// `from`, up to `to`. The track's speed is linear between its knots, and its integral is inverted exactly
/// there.
[[nodiscard]] std::vector<double> angle_positions(const SpeedTrack& track, SampleRate rate, Seconds from,
                                                  Seconds to, double per_turn);

/// Moments at which the crank has made so many turns since second 0; `turns` rising, from 0 on.
[[nodiscard]] std::vector<Seconds> times_of_turns(const SpeedTrack& track, std::span<const double> turns);

/// The signal at `per_turn` samples a crank turn. What is above 0.4 of the sampling rate is not kept exactly
/// (signal/resample.hpp states the accuracy); per_turn should be at least rate / (slowest turns per second),
/// so that nothing folds.
[[nodiscard]] std::vector<float> against_angle(std::span<const float> x, SampleRate rate,
                                               const SpeedTrack& track, double per_turn);

/// The same for several signals of one rate and length at once.
[[nodiscard]] std::vector<std::vector<float>> against_angle(const std::vector<std::span<const float>>& x,
                                                            SampleRate rate, const SpeedTrack& track,
                                                            double per_turn);

}  // namespace cranknote
