#include "desk/pace.hpp"

#include <algorithm>

namespace cranknote::desk {

std::chrono::duration<double> Pace::least(bool recording) {
    return std::chrono::duration<double>(recording ? 1.0 / 15.0 : 1.0 / 60.0);
}

std::optional<double> Pace::wait(bool frames_due, bool moving) {
    if (frames_due) return 0.0;
    return moving ? std::optional(1.0 / 15.0) : std::nullopt;
}

Pace::Clock::time_point Pace::next(bool recording, Clock::time_point now) {
    // Rounded up, so that a second never holds one frame too many.
    const auto gap = std::chrono::ceil<Clock::duration>(least(recording));
    const auto at = last_ ? std::max(now, *last_ + gap) : now;
    last_ = at;
    return at;
}

}  // namespace cranknote::desk
