// From evidence to stated probabilities: priors, floors, temperature, ties, conclusion. Shared by pair and
// job.
#pragma once

#include <string>
#include <vector>

#include "diagnose/course.hpp"
#include "diagnose/evidence.hpp"

namespace cranknote {

/// Probabilities of the causes of a list, in its order, of no fault at all, and of a cause not on the list.
/// They sum to 1.
struct Posterior {
    std::vector<double> cause;
    double no_fault = 0.0, something_else = 0.0;
    [[nodiscard]] double rest() const { return no_fault + something_else; }
};

/// Before any sound: how common each kind is, what was worked on, what was seen. `no_fault` is the chance
/// that nothing is wrong (0 where a mechanic has marked a complaint).
[[nodiscard]] Posterior prior_of(const Grounds& g, const std::vector<Cause>& causes, const Hands& hands,
                                 double no_fault);

/// prior × exp(log_evidence / temperature), made to sum to 1 with the floor of "something else" kept.
/// `log_else`: the evidence for a cause not on the list; no fault has evidence 0.
[[nodiscard]] Posterior updated(const Grounds& g, const Posterior& prior,
                                const std::vector<double>& log_evidence, double log_else);

/// How far two causes differ in their evidence: they are tied when it is less than l.tie_factor.
/// Writes tied_with of the suspects that matter (at least 0.03), by their place in `causes`.
[[nodiscard]] std::vector<std::vector<std::size_t>> ties(const Grounds& g, const std::vector<Cause>& causes,
                                                         const Posterior& posterior,
                                                         const std::vector<double>& log_evidence);

/// Suspects in order of probability, those below 0.005 left out, "something else" among them. Where
/// `nothing_text` says what a change without any fault would be, that stands apart; else it is in the rest.
[[nodiscard]] std::vector<Suspect> suspects_from(const Grounds& g, const std::vector<Cause>& causes,
                                                 const Posterior& posterior,
                                                 const std::vector<double>& log_evidence,
                                                 const std::string& else_text,
                                                 const std::string& nothing_text = {});

/// Named, tie or open, by the suspects alone.
[[nodiscard]] Conclusion conclusion_from(const Likelihoods& l, const std::vector<Suspect>& suspects);

/// Sentences for the prior: what was worked on and what was seen.
[[nodiscard]] std::vector<Reason> hand_reasons(const Grounds& g, const Cause& cause, const Hands& hands);

/// Sorts reasons into evidence for and against, strongest first, weak ones (below 0.35) left out.
void write_reasons(Suspect& suspect, std::vector<Reason> reasons);

/// Fills explained_by: the lines that come within their tolerance, most probable causes first.
void explain(const Grounds& g, const std::vector<Cause>& causes, const Posterior& posterior,
             Finding& finding);

/// What would tell two causes apart soonest: "taking the fan belt off", "mist on the belt"; empty: nothing.
[[nodiscard]] std::string what_separates(const Grounds& g, const Cause& one, const Cause& other);

}  // namespace cranknote
