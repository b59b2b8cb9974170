// A job's recordings to complaints that are followed through its states.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compare/compare.hpp"
#include "diagnose/job.hpp"
#include "diagnose/pair.hpp"
#include "layout/layout.hpp"

namespace cranknote {

/// One recording of a job, usable or not.
struct HeardTake {
    std::string id;         ///< the job's name for it
    std::size_t state = 0;  ///< index into the job's states
    Take take;
    std::string placement;            ///< equal ones share the phone untouched; empty: its own
    std::optional<std::string> near;  ///< a probe: held near a named thing, not set against other states
    std::optional<bool> cold;
};

/// The noise to chase as the mechanic marked it: any of the places; none: nothing that could be found.
struct Mark {
    int id = 1;
    std::optional<Ratio> ratio;  ///< of a tone, or else of a beat
    std::optional<Ratio> beat_ratio;
    std::optional<std::pair<Hertz, Hertz>> hz;
    bool sometimes = false;
};

/// As found against a later state.
struct StateComparison {
    std::size_t state = 0;          ///< index of the later state
    std::vector<std::string> a, b;  ///< recordings that were compared
    bool same_placement = false;
    double false_discovery = 0.0;   ///< CompareSettings' own
    Comparison comparison;          ///< findings are explained
    std::vector<Suspect> suspects;  ///< by this pair alone
    Conclusion conclusion = Conclusion::open;
};

struct ThroughStates {
    std::vector<StateComparison> comparisons;  ///< in order of time; states without a recording are left out
    std::vector<Finding> as_found;             ///< what stands out as found
    std::vector<TrackedComplaint> complaints;
    std::optional<RepairEvidence> repair;  ///< the last state after a repair; its `why` is the caller's
};

/// Compares as found with every later state and follows each complaint through them. Of as found, those
/// recordings are taken that share the placement, else those that were as cold or warm. Marked noises are the
/// complaints; without marks the most prominent abnormal findings are (at most four): what changed and is not
/// the healthy sound of what was stopped, then what stands out. Throws as suspects_of_pair does.
[[nodiscard]] ThroughStates through_states(const Layout& layout, const std::vector<State>& states,
                                           const std::vector<HeardTake>& takes,
                                           const std::vector<Mark>& marks, const Hands& hands);

/// Whether two findings are one sound, whatever became of it: the same ratio, beat, or overlapping band.
[[nodiscard]] bool same_sound(const Finding& a, const Finding& b);

}  // namespace cranknote
