// What crank speed says of a recording's use: engine off, starting or stopping in it, too unsteady.
#pragma once

#include <vector>

#include "portrait/quality.hpp"
#include "speed/speed.hpp"

namespace cranknote {

/// `engine-off` (no engine is heard), `stalls` (it goes off in the recording), `engine-off` as a note where
/// it comes on only later, `unsteady` (the speed moves too much for comparing); each says which stretch is
/// used. Times are those of the reading. Empty for a steady engine that runs throughout.
[[nodiscard]] std::vector<QualityRemark> running_remarks(const SpeedReading& speed, Seconds duration);

}  // namespace cranknote
