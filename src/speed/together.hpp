// Several recordings of one engine help each other to the right multiple.
#pragma once

#include <vector>

#include "speed/speed.hpp"

namespace cranknote {

/// Weighs each reading's possible speeds by those of the others: recordings of one job are mostly of one
/// idle, so a speed that another recording shares gains over its double; and one held at another speed must
/// not put an idle at 400. The readings come back in their order, each at its now most probable multiple
/// (mean, interval, low, high and track scaled), with new confidence and alternatives. A reading that was
/// withheld stays withheld, its alternatives in their new order, with a remark if one of them now stands out.
/// Entered and pickup speeds weigh as they are and do not change. One reading, or none, comes back unchanged.
[[nodiscard]] std::vector<SpeedReading> readings_together(std::vector<SpeedReading> readings);

}  // namespace cranknote
