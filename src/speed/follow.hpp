// A course that holds from end to end of the stretch in which the engine can be followed.
#pragma once

#include "speed/coarse.hpp"
#include "speed/evidence.hpp"
#include "speed/refine.hpp"
#include "speed/speed.hpp"

namespace cranknote::speed_detail {

struct Followed {
    Evidence evidence;  ///< of the stretch that is used
    Course course;      ///< refined, from the stretch's beginning; empty if nothing can be followed
    Refinement about;
    RunningStretch running;
};

/// Tries even frames first; where the course does not keep step with the lines for too long (a run-up, a
/// flare, a quick hunt), frames of bent time; and keeps what keeps step longer. Then cuts to the longest
/// stretch that does, and refines there again. Which multiple of the true cycle it is, is left open.
[[nodiscard]] Followed followed(Evidence whole, Hertz lowest, Hertz highest);

}  // namespace cranknote::speed_detail
