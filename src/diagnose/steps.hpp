// The steps that could be made from where the engine stands, each with the outcomes it would have under each
// cause. next.cpp ranks them.
#pragma once

#include <functional>
#include <vector>

#include "diagnose/job.hpp"

namespace cranknote {

/// A step and the probabilities of its outcomes if a cause were the guilty one. Every cause gives as many
/// outcomes as `without` has; `without` is what a cause not on the list (or no fault) would give.
struct Candidate {
    Step step;
    std::function<std::vector<double>(const Cause&)> outcomes;
    std::vector<double> without;
};

/// Where the engine stands now: the last state; what is off there is free.
struct Workshop {
    const Grounds& g;
    const std::vector<Cause>& causes;
    const JobEvidence& job;
    const Labour& labour;
    State now;
    Setting as_found;
};
[[nodiscard]] Workshop workshop_of(const Grounds& g, const std::vector<Cause>& causes, const JobEvidence& job,
                                   const Labour& labour);

void add_checks(std::vector<Candidate>& to, const Workshop& w);
void add_pulls(std::vector<Candidate>& to, const Workshop& w);
void add_refits(std::vector<Candidate>& to, const Workshop& w);
/// `names`: the things that matter, most suspected first.
void add_looks(std::vector<Candidate>& to, const Workshop& w, const std::vector<std::string>& names);
void add_probes(std::vector<Candidate>& to, const Workshop& w, const std::vector<std::string>& names);
void add_measures(std::vector<Candidate>& to, const Workshop& w, const std::vector<std::string>& names);

/// Chance that a recording cannot tell, before and after a first repeat of an unchanged state.
[[nodiscard]] double cannot_tell_now(const JobEvidence& job);
[[nodiscard]] bool has_repeat(const JobEvidence& job);

}  // namespace cranknote
