#include "diagnose/next.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "diagnose/steps.hpp"
#include "diagnose/wording.hpp"
#include "signal/entropy.hpp"

namespace cranknote {
namespace {

/// Beliefs as one list: causes, then a cause not on the list, then no fault.
std::vector<double> list_of(const Posterior& p) {
    auto list = p.cause;
    list.push_back(p.something_else);
    list.push_back(p.no_fault);
    return list;
}

double bits_of(const Candidate& c, const std::vector<Cause>& causes, const std::vector<Belief>& beliefs) {
    std::vector<std::vector<double>> given;
    for (const auto& cause : causes) given.push_back(c.outcomes(cause));
    given.push_back(c.without);
    given.push_back(c.without);
    double bits = 0.0;
    for (const auto& b : beliefs) bits += expected_bits(list_of(b.posterior), given);
    return bits;
}

/// Names of parts, drives and covers by how strongly they are suspected.
std::vector<std::string> names_in_question(const std::vector<Cause>& causes,
                                           const std::vector<Belief>& beliefs) {
    constexpr double in_question = .03;
    std::map<std::string, double> weight;
    for (std::size_t i = 0; i < causes.size(); ++i) {
        double p = 0.0;
        for (const auto& b : beliefs) p = std::max(p, b.posterior.cause[i]);
        if (causes[i].part) weight[*causes[i].part] += p;
        for (const auto& name : causes[i].also) weight[name] += p;
    }
    std::vector<std::string> names;
    for (const auto& [name, p] : weight)
        if (p >= in_question) names.push_back(name);
    std::stable_sort(names.begin(), names.end(),
                     [&](const auto& a, const auto& b) { return weight[a] > weight[b]; });
    constexpr std::size_t most = 6;
    if (names.size() > most) names.resize(most);
    return names;
}

/// A repeat tells nothing of causes by itself: it makes the next recordings tell more often.
std::optional<Step> repeat_step(const Workshop& w, double best_bits) {
    if (has_repeat(w.job) || w.job.states.empty()) return std::nullopt;
    const auto limit = run_limit(w.g.layout, w.now.off);
    if (limit.run == RunWithout::never) return std::nullopt;
    constexpr double after = .125;  // what cannot_tell_now starts from once there is a repeat
    Step s;
    s.kind = StepKind::repeat;
    s.name = "the same again: stop, restart, same warmth, phone put down anew";
    s.off = w.now.off;
    s.minutes = w.labour.recording + 1.0;
    const double now = cannot_tell_now(w.job);
    s.expected_bits = std::max(0.0, now - after) / (1.0 - now) * best_bits;
    if (limit.run == RunWithout::seconds_from_cold) s.cautions = {limit.why};
    return s;
}

/// Whether the suspect's part is a whole drive: too large a place to repair.
bool is_of_a_drive(CauseKind k) {
    return k == CauseKind::slip || k == CauseKind::misalignment || k == CauseKind::mesh ||
           k == CauseKind::edge || k == CauseKind::chain || k == CauseKind::gear;
}

}  // namespace

double expected_bits(const std::vector<double>& prior,
                     const std::vector<std::vector<double>>& outcome_given) {
    if (prior.empty() || outcome_given.empty()) return 0.0;
    std::vector<std::vector<double>> by_outcome(outcome_given.front().size());
    for (std::size_t o = 0; o < by_outcome.size(); ++o)
        for (const auto& given : outcome_given) by_outcome[o].push_back(given[o]);
    return std::max(0.0, signal::entropy_bits(prior) - signal::expected_entropy_bits(prior, by_outcome));
}

std::vector<Step> next_steps(const Grounds& g, const std::vector<Cause>& causes, const JobEvidence& evidence,
                             const std::vector<Belief>& beliefs, const Labour& labour) {
    if (beliefs.empty()) return {};
    const auto w = workshop_of(g, causes, evidence, labour);
    const auto names = names_in_question(causes, beliefs);
    std::vector<Candidate> candidates;
    add_checks(candidates, w);
    add_pulls(candidates, w);
    add_refits(candidates, w);
    add_looks(candidates, w, names);
    add_probes(candidates, w, names);
    add_measures(candidates, w, names);
    std::vector<Step> steps;
    double best = 0.0;
    for (auto& c : candidates) {
        c.step.expected_bits = bits_of(c, causes, beliefs);
        best = std::max(best, c.step.expected_bits);
        steps.push_back(std::move(c.step));
    }
    if (auto s = repeat_step(w, best)) steps.push_back(std::move(*s));
    for (auto& s : steps) s.bits_per_minute = s.expected_bits / std::max(.5, s.minutes);
    std::stable_sort(steps.begin(), steps.end(),
                     [](const Step& a, const Step& b) { return a.bits_per_minute > b.bits_per_minute; });
    constexpr double worth_listing = .005;
    std::erase_if(steps, [](const Step& s) { return s.expected_bits < worth_listing; });
    return steps;
}

Sureness sureness(const std::vector<Suspect>& suspects) {
    if (suspects.empty() || suspects.front().kind == CauseKind::other) return {};
    const auto& first = suspects.front();
    const auto tied = [&](const Suspect& s) {
        return std::find(first.tied_with.begin(), first.tied_with.end(), s.cause) != first.tied_with.end();
    };
    Sureness best{first.probability, first.cause};
    if (first.separated_by.empty()) {
        double p = first.probability;
        for (const auto& s : suspects) p += tied(s) ? s.probability : 0.0;
        if (p > best.probability) best = {p, first.cause + " or what cannot be told from it"};
    }
    std::vector<std::string> places = first.also;
    if (first.part && !is_of_a_drive(first.kind)) places.push_back(*first.part);
    for (const auto& place : places) {
        double p = 0.0;
        for (const auto& s : suspects)
            if (s.part == place || std::find(s.also.begin(), s.also.end(), place) != s.also.end())
                p += s.probability;
        if (p > best.probability + .01) best = {p, "the " + place};
    }
    best.probability = std::min(best.probability, .99);
    return best;
}

Stop when_to_stop(const std::vector<std::vector<Suspect>>& suspects, const std::vector<Step>& steps,
                  bool repaired_and_gone, const Labour& labour) {
    if (repaired_and_gone)
        return {true, "The complaint is gone after the repair: refit everything and hand over."};
    if (suspects.empty()) return {true, "Nothing stands out that would have to be found."};
    Sureness least{1.0, ""};
    for (const auto& list : suspects)
        if (const auto s = sureness(list); s.probability < least.probability) least = s;
    if (least.probability >= labour.sure)
        return {true, "Sure enough (" + wording::percent_text(least.probability) + ", " + least.of +
                          "): repair and record again."};
    double best = 0.0;
    for (const auto& s : steps) best = std::max(best, s.expected_bits);
    if (best < labour.worth_bits) return {true, "Further pulls would tell little; repair and record again."};
    return {false, "The next step is worth its minutes."};
}

}  // namespace cranknote
