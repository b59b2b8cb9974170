// A whole job: complaints tracked through all states, who is guilty, whether the repair holds, when to stop.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "diagnose/next.hpp"
#include "diagnose/posterior.hpp"

namespace cranknote {

/// How a complaint came out in one state, judged against as found.
struct StateVerdict {
    std::string state;  ///< a State's name
    std::optional<Decibel> level;
    std::pair<std::optional<Decibel>, std::optional<Decibel>> interval;  ///< 95 % interval of the level
    Verdict verdict = Verdict::cannot_tell;
};

/// One complaint through the states. `finding` is how it was as found (levels, ratio, beat, character);
/// `also` are further findings that behaved alike (harmonics, other bands).
struct TrackedComplaint {
    int id = 1;
    Finding finding;
    std::vector<Finding> also;
    std::vector<StateVerdict> by_state;  ///< in order of time; the first is as found and is not judged
    bool marked = false;                 ///< the mechanic said that this is the noise
    bool sometimes = false;              ///< it comes and goes, by the mechanic's word
    std::vector<ProbeLevel> probes;
};

/// The comparison of a state after the repair with the as-found state that is most alike in conditions.
struct RepairEvidence {
    std::string state;
    Comparison comparison;
    bool conditions_alike = true;
    std::vector<std::string> why;  ///< sentences: what is not alike
};

/// Everything that a job knows.
struct JobEvidence {
    std::vector<State> states;  ///< in order of time; the first is "as found"
    std::vector<TrackedComplaint> complaints;
    Hands hands;
    std::optional<RepairEvidence> repair;
};

struct ComplaintVerdict {
    int id = 1;
    Finding finding;  ///< with explained_by filled
    std::vector<StateVerdict> by_state;
    std::vector<Suspect> suspects;  ///< sum to 1 with "something else" among them
    Conclusion conclusion = Conclusion::open;
};

enum class RepairOutcome { gone, weaker, there, something_new, cannot_tell };

struct RepairVerdict {
    std::string state;
    RepairOutcome verdict = RepairOutcome::cannot_tell;
    std::optional<Decibel> left_at_most;  ///< upper 95 % limit of what is left, relative to as found
    bool conditions_alike = true;
    std::vector<std::string> why;
    std::vector<Finding> new_findings;
};

struct JobVerdict {
    std::vector<ComplaintVerdict> complaints;
    std::vector<Suspect> guilty;  ///< each with its own probability; the sum may exceed 1
    Conclusion conclusion = Conclusion::open;
    std::optional<RepairVerdict> repair;
    Stop stop;
    std::vector<Step> next_steps;  ///< by bits per minute, best first
};

/// Throws (wrong call) for an unknown name, and for a state that a never-part makes deadly.
[[nodiscard]] JobVerdict suspects_of_job(const Layout& layout, const JobEvidence& evidence,
                                         const Likelihoods& likelihoods = {}, const Labour& labour = {});

/// Throws (wrong call) with the reason where an engine must not be run with these things off.
void refuse_deadly(const Layout& layout, const std::vector<std::string>& off);

/// Whether the repair holds: the complaints gone and nothing new, with the comparison's own statistics.
/// Absent where nothing was recorded after a repair.
[[nodiscard]] std::optional<RepairVerdict> repair_verdict(const JobEvidence& evidence);

/// Complaints from findings that were tracked one by one: those that behave alike in every state, and share
/// a beat, a family or a band, become one. Findings keep their order of weight.
[[nodiscard]] std::vector<TrackedComplaint> merged(const std::vector<TrackedComplaint>& tracked);

}  // namespace cranknote
