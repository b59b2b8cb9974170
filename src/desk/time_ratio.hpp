// One recording's level over time and ratio to the crank. Pure.
#pragma once

#include <span>

#include "figure/figures.hpp"
#include "speed/speed.hpp"

namespace cranknote::desk {

/// Level in dB re full scale of each row, which are equally wide in the logarithm, over the whole stretch `x`
/// and from ratio 0.5 up to what the sound holds, at most 200. Each moment is read at its own crank speed, so
/// that what turns with the engine lies level however the idle wanders. `speed` as read from the same
/// samples. Without a speed, or shorter than a window of a sixth of a second: no columns.
[[nodiscard]] figure::TimeRatioMap time_ratio_map(std::span<const float> x, SampleRate rate,
                                                  const SpeedReading& speed);

}  // namespace cranknote::desk
