#include "diagnose/job.hpp"

#include <algorithm>
#include <cmath>

#include "diagnose/tracked.hpp"

namespace cranknote {
namespace {

/// A mechanic's mark is worth much: an unmarked prominent sound may well be healthy (judged).
constexpr double healthy_though_marked = .03;
constexpr double healthy_unmarked = .25;
/// One fault often makes two sounds: what one complaint speaks for is likelier for the next (judged).
constexpr double shared_fault = 4.0;

struct WeighedComplaint {
    TrackedEvidence evidence;
    Posterior posterior;
};

std::vector<WeighedComplaint> weigh_all(const Grounds& g, const std::vector<Cause>& causes,
                                        const JobEvidence& job) {
    std::vector<WeighedComplaint> all;
    std::vector<Posterior> priors;
    for (const auto& c : job.complaints) {
        auto hands = job.hands;
        hands.probes.insert(hands.probes.end(), c.probes.begin(), c.probes.end());
        priors.push_back(prior_of(g, causes, hands, c.marked ? healthy_though_marked : healthy_unmarked));
        auto e = weigh_tracked(g, causes, job.states, c);
        auto p = updated(g, priors.back(), e.cause, e.something_else);
        all.push_back({std::move(e), std::move(p)});
    }
    const auto alone = all;  // each complaint by itself; then once more in the light of the others
    for (std::size_t k = 0; k < all.size(); ++k) {
        auto prior = priors[k];
        for (std::size_t i = 0; i < causes.size(); ++i)
            for (std::size_t other = 0; other < all.size(); ++other)
                if (other != k) prior.cause[i] *= 1.0 + shared_fault * alone[other].posterior.cause[i];
        all[k].posterior = updated(g, prior, all[k].evidence.cause, all[k].evidence.something_else);
    }
    return all;
}

void write_all_reasons(const Grounds& g, const std::vector<Cause>& causes, const JobEvidence& job,
                       const TrackedComplaint& complaint, std::vector<Suspect>& suspects) {
    auto hands = job.hands;
    hands.probes.insert(hands.probes.end(), complaint.probes.begin(), complaint.probes.end());
    for (auto& s : suspects) {
        const auto c =
            std::find_if(causes.begin(), causes.end(), [&](const Cause& x) { return x.text == s.cause; });
        if (c == causes.end()) continue;
        auto reasons = feature_reasons(g, *c, group_of(complaint));
        for (auto& r : state_reasons(g, *c, job.states, complaint)) reasons.push_back(std::move(r));
        for (auto& r : hand_reasons(g, *c, hands)) reasons.push_back(std::move(r));
        write_reasons(s, std::move(reasons));
    }
}

/// Over all complaints: a cause is guilty if it makes at least one of them.
std::vector<Suspect> guilty_of(const Likelihoods& l, const std::vector<Cause>& causes,
                               const std::vector<WeighedComplaint>& all,
                               const std::vector<ComplaintVerdict>& complaints) {
    std::vector<Suspect> guilty;
    for (std::size_t i = 0; i < causes.size(); ++i) {
        double innocent = 1.0, most = 0.0;
        std::size_t best = 0;
        for (std::size_t k = 0; k < all.size(); ++k) {
            const double p = all[k].posterior.cause[i];
            innocent *= 1.0 - p;
            if (p > most) {
                most = p;
                best = k;
            }
        }
        if (all.empty() || 1.0 - innocent < .005) continue;
        const auto& from = complaints[best].suspects;
        const auto s = std::find_if(from.begin(), from.end(),
                                    [&](const Suspect& x) { return x.cause == causes[i].text; });
        if (s == from.end()) continue;
        guilty.push_back(*s);
        guilty.back().probability = std::min(1.0 - innocent, l.highest);
    }
    std::stable_sort(guilty.begin(), guilty.end(),
                     [](const auto& a, const auto& b) { return a.probability > b.probability; });
    return guilty;
}

Conclusion overall(const std::vector<ComplaintVerdict>& complaints) {
    bool named = false, tie = false, open = false;
    for (const auto& c : complaints) {
        named = named || c.conclusion == Conclusion::named;
        tie = tie || c.conclusion == Conclusion::tie;
        open = open || c.conclusion == Conclusion::open;
    }
    if (open) return Conclusion::open;
    if (tie) return Conclusion::tie;
    return named ? Conclusion::named : Conclusion::nothing_stands_out;
}

/// One swelling heard as two of its multiples (2 and 3 times a belt's turn): overlapping bands, both without
/// a tone, the same verdict in every state, and it went away in one.
bool same_band_same_way(const TrackedComplaint& a, const TrackedComplaint& b) {
    const auto &f = a.finding, &h = b.finding;
    if (f.character == Character::tone || h.character == Character::tone) return false;
    if (f.low >= h.high || h.low >= f.high || a.by_state.size() != b.by_state.size()) return false;
    bool went = false;
    for (std::size_t i = 0; i < a.by_state.size(); ++i) {
        if (a.by_state[i].verdict != b.by_state[i].verdict) return false;
        went = went || a.by_state[i].verdict == Verdict::gone;
    }
    return went;
}

bool compatible(const TrackedComplaint& a, const TrackedComplaint& b) {
    for (const auto& x : a.by_state)
        for (const auto& y : b.by_state) {
            if (x.state != y.state || x.verdict == y.verdict) continue;
            const auto clear = [](Verdict v) { return v == Verdict::there || v == Verdict::gone; };
            if (clear(x.verdict) && clear(y.verdict)) return false;
        }
    if (same_band_same_way(a, b)) return true;
    auto f = a.finding, h = b.finding;
    f.verdict = h.verdict = Verdict::there;  // the states were compared above
    return alike(f, h);
}

}  // namespace

void refuse_deadly(const Layout& layout, const std::vector<std::string>& off) {
    const auto limit = run_limit(layout, off);
    if (limit.run == RunWithout::never)
        throw Error("the engine must not be run like this", "--off", limit.why, Error::Kind::wrong_call);
}

std::vector<TrackedComplaint> merged(const std::vector<TrackedComplaint>& tracked) {
    std::vector<TrackedComplaint> complaints;
    for (const auto& t : tracked) {
        const auto home = std::find_if(complaints.begin(), complaints.end(),
                                       [&](const auto& c) { return compatible(c, t); });
        if (home == complaints.end()) {
            complaints.push_back(t);
            complaints.back().id = static_cast<int>(complaints.size());
            continue;
        }
        home->also.push_back(t.finding);
        home->marked = home->marked || t.marked;
        home->sometimes = home->sometimes || t.sometimes;
    }
    return complaints;
}

JobVerdict suspects_of_job(const Layout& layout, const JobEvidence& job, const Likelihoods& l,
                           const Labour& labour) {
    const Grounds g{layout, l};
    for (const auto& s : job.states) refuse_deadly(layout, s.off);
    const auto causes = causes_of(layout);
    const auto all = job.states.empty() ? std::vector<WeighedComplaint>{} : weigh_all(g, causes, job);
    JobVerdict v;
    std::vector<Belief> beliefs;
    std::vector<std::vector<Suspect>> suspects;
    for (std::size_t k = 0; k < all.size(); ++k) {
        const auto& c = job.complaints[k];
        ComplaintVerdict out{c.id, c.finding, c.by_state, {}, Conclusion::open};
        out.suspects = suspects_from(g, causes, all[k].posterior, all[k].evidence.cause,
                                     c.marked ? "something else" : "something else, or only a healthy sound");
        write_all_reasons(g, causes, job, c, out.suspects);
        explain(g, causes, all[k].posterior, out.finding);
        out.conclusion = all[k].posterior.no_fault > .5 ? Conclusion::nothing_stands_out
                                                        : conclusion_from(l, out.suspects);
        beliefs.push_back({all[k].posterior, c.finding});
        suspects.push_back(out.suspects);
        v.complaints.push_back(std::move(out));
    }
    v.guilty = guilty_of(l, causes, all, v.complaints);
    v.conclusion = overall(v.complaints);
    v.repair = repair_verdict(job);
    v.next_steps = next_steps(g, causes, job, beliefs, labour);
    v.stop =
        when_to_stop(suspects, v.next_steps, v.repair && v.repair->verdict == RepairOutcome::gone, labour);
    return v;
}

}  // namespace cranknote
