#include "diagnose/through_states.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "diagnose/retrace.hpp"
#include "signal/weighting.hpp"

namespace cranknote {
namespace {

constexpr std::size_t most_unmarked = 4;
constexpr double prominent = .4;  // of the heaviest: what is lighter is not taken for a complaint (judged)

constexpr double inaudible = 30.0;  // dB(A) below the loudest of them: nobody complains of that (judged)

struct Sides {
    std::vector<const HeardTake*> a, b;
    bool same_placement = false;
};

std::vector<const HeardTake*> of_state(const std::vector<HeardTake>& takes, std::size_t state) {
    std::vector<const HeardTake*> list;
    for (const auto& t : takes)
        if (t.state == state && !t.near) list.push_back(&t);
    return list;
}

template <class Keep>
std::vector<const HeardTake*> kept(const std::vector<const HeardTake*>& all, Keep keep) {
    std::vector<const HeardTake*> list;
    std::copy_if(all.begin(), all.end(), std::back_inserter(list), keep);
    return list;
}

/// Those of as found that are as warm as the later state's, where that is known and there are some.
std::vector<const HeardTake*> as_warm(const std::vector<const HeardTake*>& a,
                                      const std::vector<const HeardTake*>& b) {
    const bool any_cold = std::any_of(b.begin(), b.end(), [](const auto* t) { return t->cold == true; });
    const bool any_warm = std::any_of(b.begin(), b.end(), [](const auto* t) { return t->cold == false; });
    if (any_cold == any_warm) return a;
    const auto alike = kept(a, [&](const auto* t) { return t->cold == any_cold; });
    return alike.empty() ? a : alike;
}

Sides sides_of(const std::vector<HeardTake>& takes, std::size_t state) {
    Sides s{of_state(takes, 0), of_state(takes, state), false};
    const auto shared = [](const std::vector<const HeardTake*>& others) {
        return [&others](const HeardTake* t) {
            return !t->placement.empty() && std::any_of(others.begin(), others.end(), [&](const auto* o) {
                return o->placement == t->placement;
            });
        };
    };
    const auto a = kept(s.a, shared(s.b));
    if (!a.empty()) {
        s.b = kept(s.b, shared(a));
        s.a = a;
        std::set<std::string> placements;
        for (const auto* t : s.a) placements.insert(t->placement);
        s.same_placement = placements.size() == 1;
    } else {
        s.a = as_warm(s.a, s.b);
    }
    return s;
}

std::vector<Take> takes_of(const std::vector<const HeardTake*>& side) {
    std::vector<Take> takes;
    for (const auto* t : side) takes.push_back(t->take);
    return takes;
}

struct Compared {
    Sides sides;
    std::vector<Take> a, b;
    CompareSettings how;
    StateComparison result;
};

std::vector<Compared> compare_all(const Layout& layout, const std::vector<State>& states,
                                  const std::vector<HeardTake>& takes, const Hands& hands) {
    std::vector<Compared> all;
    for (std::size_t k = 1; k < states.size(); ++k) {
        Compared c;
        c.sides = sides_of(takes, k);
        if (c.sides.a.empty() || c.sides.b.empty()) continue;
        c.a = takes_of(c.sides.a);
        c.b = takes_of(c.sides.b);
        c.how.same_placement = c.sides.same_placement;
        c.how.cylinders = layout.engine.cylinders;
        c.result.state = k;
        c.result.same_placement = c.how.same_placement;
        c.result.false_discovery = c.how.false_discovery;
        for (const auto* t : c.sides.a) c.result.a.push_back(t->id);
        for (const auto* t : c.sides.b) c.result.b.push_back(t->id);
        c.result.comparison = compare(c.a, c.b, c.how);
        auto pair = suspects_of_pair(layout, c.result.comparison, states[0], states[k], hands);
        c.result.comparison.findings = std::move(pair.findings);
        c.result.suspects = std::move(pair.suspects);
        c.result.conclusion = pair.conclusion;
        all.push_back(std::move(c));
    }
    return all;
}

/// What the as-found state holds by itself.
Finding as_there(Finding f) {
    f.verdict = Verdict::there;
    f.flagged = false;
    f.b.reset();
    f.change.reset();
    f.interval = {std::nullopt, std::nullopt};
    f.q = 1.0;
    f.expected.reset();
    f.explained_by.clear();
    return f;
}

/// As loud as an ear takes it: A-weighted (IEC 61672-1). Very low where the level is not known.
double heard_level(const Finding& f) {
    if (!f.a) return -200.0;
    const Hertz middle{std::sqrt(std::max(1.0, f.low.value()) * std::max(1.0, f.high.value()))};
    return f.a->value() + signal::a_weighting(middle).value();
}

struct Candidate {
    Finding finding;
    double weight = 0.0;
};

/// A check was on and nothing came off: what grows with it speaks for what it loads. (With something off,
/// what stays is often louder: a cover lets it out.)
bool under_load(const State& s) { return !s.with.empty() && s.off.empty(); }

/// A tone on a low multiple of the cycle: every engine hums there, louder and softer from start to start.
bool engine_hum(const Finding& f) {
    if (f.character != Character::tone || !f.ratio) return false;
    constexpr double highest =
        12.0;  // above it, teeth and blades are nearer than the engine's own lines (judged)
    const double halves = 2.0 * f.ratio->value();
    return f.ratio->value() < highest && std::abs(halves - std::round(halves)) < .03;
}

/// The noises that may be the complaint, the weightiest first. One that changed counts with its change.
std::vector<Candidate> candidates_of(const std::vector<Compared>& compared, const std::vector<State>& states,
                                     const std::vector<Finding>& as_found) {
    std::vector<Candidate> list;
    const auto add = [&](const Finding& f) {
        if (engine_hum(f)) return;
        const double weight = weight_of(f);
        const auto home = std::find_if(list.begin(), list.end(),
                                       [&](const Candidate& c) { return same_sound(c.finding, f); });
        if (home == list.end()) {
            list.push_back({f, weight});
        } else if (home->weight < weight) {
            *home = {f, weight};
        }
    };
    for (const auto& c : compared)
        for (const auto& f : c.result.comparison.findings)
            if (f.flagged && !f.expected &&
                (f.verdict == Verdict::gone || f.verdict == Verdict::weaker ||
                 (f.verdict == Verdict::stronger && under_load(states[c.result.state]))))
                add(f);
    for (const auto& f : as_found) add(f);
    double loudest = -1e9;
    for (const auto& c : list) loudest = std::max(loudest, heard_level(c.finding));
    std::erase_if(list, [&](const Candidate& c) { return heard_level(c.finding) < loudest - inaudible; });
    std::stable_sort(list.begin(), list.end(),
                     [](const Candidate& x, const Candidate& y) { return x.weight > y.weight; });
    return list;
}

bool near_ratio(std::optional<Ratio> r, Ratio wanted) {
    return r && std::abs(r->value() / wanted.value() - 1.0) < .02;  // as typed off a screen
}

bool marks(const Mark& m, const Finding& f) {
    if (m.beat_ratio) return near_ratio(f.beat_ratio, *m.beat_ratio);
    if (m.ratio) return near_ratio(f.ratio, *m.ratio) || near_ratio(f.beat_ratio, *m.ratio);
    return m.hz && f.low < m.hz->second && m.hz->first < f.high;
}

Finding marked_finding(const Mark& m, const std::vector<Candidate>& candidates,
                       const std::vector<Take>& as_found) {
    for (const auto& c : candidates)
        if (marks(m, c.finding)) return c.finding;
    return retraced_from(m.ratio, m.beat_ratio, m.hz, as_found);
}

/// Gone by chance: a noise that is there for a share p of the time, in spells of some 4 s (judged), is
/// silent through n spells with probability (1 - p)^n.
bool may_be_chance_silence(const Finding& f, bool sometimes, const std::vector<Take>& takes) {
    if (f.beat_ratio && !sometimes) return false;  // it swells; that is no coming and going
    const double p = sometimes ? std::min(f.presence[0], .6) : f.presence[0];
    if (p >= .9) return false;
    double seconds = 0.0;
    for (const auto& t : takes) seconds += t.portrait->duration.value();
    return std::pow(1.0 - p, seconds / 4.0) > .05;
}

StateVerdict verdict_in(const TrackedComplaint& complaint, const Compared& c, const State& state) {
    StateVerdict v{state.name, std::nullopt, {}, Verdict::cannot_tell};
    const auto r = retrace(complaint.finding, c.result.comparison, c.a, c.b, c.how);
    v.verdict = r.verdict;
    if (complaint.finding.a && r.change) {
        v.level = *complaint.finding.a + *r.change;
        if (r.interval.first) v.interval.first = *complaint.finding.a + *r.interval.first;
        if (r.interval.second) v.interval.second = *complaint.finding.a + *r.interval.second;
    }
    if (v.verdict == Verdict::gone && may_be_chance_silence(complaint.finding, complaint.sometimes, c.b))
        v.verdict = Verdict::cannot_tell;
    return v;
}

void follow(TrackedComplaint& complaint, const std::vector<Compared>& compared,
            const std::vector<State>& states, const std::vector<HeardTake>& takes) {
    complaint.by_state.push_back(
        {states[0].name, complaint.finding.a, {complaint.finding.a, complaint.finding.a}, Verdict::there});
    for (std::size_t k = 1; k < states.size(); ++k) {
        const auto c = std::find_if(compared.begin(), compared.end(),
                                    [&](const Compared& x) { return x.result.state == k; });
        if (c == compared.end())
            complaint.by_state.push_back({states[k].name, std::nullopt, {}, Verdict::cannot_tell});
        else
            complaint.by_state.push_back(verdict_in(complaint, *c, states[k]));
    }
    for (const auto& t : takes)
        if (t.near) complaint.probes.push_back({*t.near, level_in(complaint.finding, t.take)});
}

std::vector<TrackedComplaint> complaints_of(const std::vector<Compared>& compared,
                                            const std::vector<Finding>& as_found,
                                            const std::vector<Take>& as_found_takes,
                                            const std::vector<State>& states,
                                            const std::vector<HeardTake>& takes,
                                            const std::vector<Mark>& marked) {
    const auto candidates = candidates_of(compared, states, as_found);
    std::vector<TrackedComplaint> list;
    for (const auto& m : marked) {
        TrackedComplaint c;
        c.id = m.id;
        c.finding = as_there(marked_finding(m, candidates, as_found_takes));
        c.marked = true;
        c.sometimes = m.sometimes;
        list.push_back(std::move(c));
    }
    if (marked.empty())
        for (const auto& candidate : candidates) {
            if (candidate.weight < prominent * candidates.front().weight) break;
            TrackedComplaint c;
            c.finding = as_there(candidate.finding);
            list.push_back(std::move(c));
        }
    for (auto& c : list) follow(c, compared, states, takes);
    if (marked.empty()) {
        list = merged(list);
        if (list.size() > most_unmarked) list.resize(most_unmarked);
    }
    for (std::size_t i = 0; i < list.size(); ++i) list[i].finding.id = "f" + std::to_string(i + 1);
    return list;
}

}  // namespace

ThroughStates through_states(const Layout& layout, const std::vector<State>& states,
                             const std::vector<HeardTake>& takes, const std::vector<Mark>& marked,
                             const Hands& hands) {
    ThroughStates out;
    const auto first = of_state(takes, 0);
    if (states.empty() || first.empty()) return out;
    const auto compared = compare_all(layout, states, takes, hands);
    CompareSettings how;
    how.cylinders = layout.engine.cylinders;
    out.as_found = standing_out(first.front()->take, how);
    out.complaints = complaints_of(compared, out.as_found, takes_of(first), states, takes, marked);
    for (const auto& c : compared) {
        if (states[c.result.state].repaired)
            out.repair = RepairEvidence{states[c.result.state].name, c.result.comparison, true, {}};
        out.comparisons.push_back(c.result);
    }
    return out;
}

}  // namespace cranknote
