#include "job/job.hpp"

#include <algorithm>
#include <cmath>

namespace cranknote::job {

const State* Job::state(std::string_view name) const {
    const auto found = std::ranges::find(states, name, &State::name);
    return found == states.end() ? nullptr : &*found;
}

const Recording* Job::recording(std::string_view wanted) const {
    const auto found = std::ranges::find(recordings, wanted, &Recording::id);
    return found == recordings.end() ? nullptr : &*found;
}

std::optional<bool> on_target(const Reading& reading) {
    if (!reading.target || !reading.tolerance) return std::nullopt;
    // A reading typed as 0.3 with target 0.2 ± 0.1 is on the limit, not beyond it by a rounding of binary.
    const double slack = 1e-9 * std::max(std::abs(*reading.target), std::abs(*reading.tolerance));
    return std::abs(reading.value - *reading.target) <= *reading.tolerance + slack;
}

}  // namespace cranknote::job
