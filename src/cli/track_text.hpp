// A speed track as one line of text.
#pragma once

#include <string>

#include "speed/track.hpp"

namespace cranknote::cli {

/// "790 ▁▂▂▃▅▇█▆ 861 rpm": the lowest, one block a stretch of time, the highest; at most `columns` wide.
/// Blocks span the range but at least 2 % of the speed, so that a steady idle looks steady. Empty for no
/// track.
[[nodiscard]] std::string track_line(const SpeedTrack& track, Seconds duration, std::size_t columns = 56);

}  // namespace cranknote::cli
