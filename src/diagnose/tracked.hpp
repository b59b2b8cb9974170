// The weight of one complaint's way through the states. Used by job.cpp.
#pragma once

#include <vector>

#include "diagnose/job.hpp"

namespace cranknote {

/// Natural log evidence for each cause against "only healthy sound", and for a cause not on the list.
struct TrackedEvidence {
    std::vector<double> cause;
    double something_else = 0.0;
};

/// A complaint as one group of findings.
[[nodiscard]] FindingGroup group_of(const TrackedComplaint& complaint);

/// What was taken off and put back again before each state, by cause: index [state].
[[nodiscard]] std::vector<bool> touched_before(const Cause& cause, const std::vector<Setting>& settings);

[[nodiscard]] TrackedEvidence weigh_tracked(const Grounds& g, const std::vector<Cause>& causes,
                                            const std::vector<State>& states,
                                            const TrackedComplaint& complaint);

/// What each state says of a cause, in words.
[[nodiscard]] std::vector<Reason> state_reasons(const Grounds& g, const Cause& cause,
                                                const std::vector<State>& states,
                                                const TrackedComplaint& complaint);

}  // namespace cranknote
