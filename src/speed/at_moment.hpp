// The crank speed at one moment of a recording, or why it cannot be told.
#pragma once

#include <optional>
#include <string>
#include <utility>

#include "speed/speed.hpp"

namespace cranknote {

struct SpeedAtMoment {
    std::optional<Rpm> rpm;
    std::string why;  ///< where rpm is absent: "engine not running at 0.5 s"
};

/// `t`, `read` (what was read of the recording) and the reading's own times are on one clock.
[[nodiscard]] SpeedAtMoment speed_at_moment(const SpeedReading& reading, Seconds t,
                                            std::pair<Seconds, Seconds> read);

}  // namespace cranknote
