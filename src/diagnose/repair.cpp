// After the repair: is the complaint gone, and did nothing new appear?
#include <algorithm>

#include "diagnose/job.hpp"

namespace cranknote {
namespace {

const State* state_named(const JobEvidence& job, const std::string& name) {
    const auto at =
        std::find_if(job.states.begin(), job.states.end(), [&](const State& s) { return s.name == name; });
    return at == job.states.end() ? nullptr : &*at;
}

std::optional<Verdict> verdict_in(const TrackedComplaint& c, const std::string& state) {
    for (const auto& v : c.by_state)
        if (v.state == state) return v.verdict;
    return std::nullopt;
}

/// Without a mark, a sound that stays whatever is done is more often the healthy engine than the complaint.
bool went_somewhere(const TrackedComplaint& c) {
    return std::any_of(c.by_state.begin(), c.by_state.end(), [](const StateVerdict& v) {
        return v.verdict == Verdict::gone || v.verdict == Verdict::weaker;
    });
}

/// Upper limit of what is left, relative to as found: from the levels' intervals where both are known.
std::optional<Decibel> left_of(const TrackedComplaint& c, const std::string& state) {
    if (c.by_state.empty() || !c.by_state.front().level) return std::nullopt;
    for (const auto& v : c.by_state)
        if (v.state == state && v.interval.second) return *v.interval.second - *c.by_state.front().level;
    return std::nullopt;
}

RepairOutcome outcome_of(const std::vector<Verdict>& verdicts, bool something_new) {
    const auto any = [&](Verdict v) {
        return std::find(verdicts.begin(), verdicts.end(), v) != verdicts.end();
    };
    if (any(Verdict::there) || any(Verdict::stronger)) return RepairOutcome::there;
    if (any(Verdict::weaker)) return RepairOutcome::weaker;
    if (something_new) return RepairOutcome::something_new;
    if (verdicts.empty() || any(Verdict::cannot_tell)) return RepairOutcome::cannot_tell;
    return RepairOutcome::gone;
}

void compare_conditions(RepairVerdict& v, const State& as_found, const State& repaired) {
    if (as_found.cold != repaired.cold) {
        v.conditions_alike = false;
        v.why.push_back(
            "One was cold, the other warm: a cold engine idles faster with more ignition advance, which is "
            "no "
            "fair comparison. Record again equally warm.");
    }
    if (!repaired.off.empty() && as_found.off.empty()) {
        v.conditions_alike = false;
        v.why.push_back("Not everything is back on: refit it and record once more.");
    }
    if (as_found.with != repaired.with) {
        v.conditions_alike = false;
        v.why.push_back("The loads that were on differ.");
    }
}

}  // namespace

std::optional<RepairVerdict> repair_verdict(const JobEvidence& job) {
    const auto last =
        std::find_if(job.states.rbegin(), job.states.rend(), [](const State& s) { return s.repaired; });
    if (last == job.states.rend() || job.states.empty()) return std::nullopt;
    RepairVerdict v;
    v.state = job.repair ? job.repair->state : last->name;
    std::vector<Verdict> verdicts;
    const bool any_went = std::any_of(job.complaints.begin(), job.complaints.end(), went_somewhere);
    for (const auto& c : job.complaints) {
        if (!c.marked && any_went && !went_somewhere(c)) continue;
        verdicts.push_back(verdict_in(c, v.state).value_or(Verdict::cannot_tell));
        if (const auto left = left_of(c, v.state))
            v.left_at_most = v.left_at_most ? std::max(*v.left_at_most, *left) : *left;
    }
    if (job.repair) {
        v.conditions_alike = job.repair->conditions_alike;
        v.why = job.repair->why;
        for (const auto& f : job.repair->comparison.findings)
            if (f.flagged && !f.expected && (f.verdict == Verdict::fresh || f.verdict == Verdict::stronger))
                v.new_findings.push_back(f);
    }
    if (const auto* s = state_named(job, v.state)) compare_conditions(v, job.states.front(), *s);
    v.verdict = outcome_of(verdicts, !v.new_findings.empty());
    if (v.verdict == RepairOutcome::gone && v.conditions_alike)
        v.why.push_back("Record once more after a road test of some 80 km (50 miles).");  // common practice
    return v;
}

}  // namespace cranknote
