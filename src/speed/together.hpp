// Several recordings of one engine help each other to the right multiple.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "speed/speed.hpp"

namespace cranknote {

/// Weighs each reading's possible speeds by those of the others that are sure (0.9 and more, or entered, or
/// of a pickup): recordings of one engine are mostly of one idle, so a speed that another recording shares
/// gains over its double; and one held at another speed must not put an idle at 400. Doubtful readings do not
/// help each other: what deceives one recording of an engine deceives the next. The readings come back in
/// their order, each at its now most probable multiple (mean, interval, low, high and track scaled), with new
/// confidence and alternatives. A reading that was withheld stays withheld, its alternatives in their new
/// order. Entered and pickup speeds weigh as they are and do not change. One reading, or none, comes back
/// unchanged.
[[nodiscard]] std::vector<SpeedReading> readings_together(std::vector<SpeedReading> readings);

/// A recording that is worth reading once more with this tag, since the others point to a speed that it was
/// not given: another multiple, or one of those between which it was withheld.
struct PointedTo {
    std::size_t index = 0;
    SpeedTag tag;
    double confidence = 0.0;  ///< that it is right
};
[[nodiscard]] std::vector<PointedTo> pointed_to(const std::vector<SpeedReading>& alone,
                                                const std::vector<SpeedReading>& together);

/// The reading with that tag, as what it is: of the sound, which multiple by the others, and says so. Absent
/// where the sound does not bear the tag out.
[[nodiscard]] std::optional<SpeedReading> settled_by_others(SpeedReading with_tag, const PointedTo& by);

}  // namespace cranknote
