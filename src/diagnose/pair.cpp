#include "diagnose/pair.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "diagnose/healthy.hpp"

namespace cranknote {
namespace {

double presence_of(const Finding& f) { return std::max(f.presence[0], f.presence[1]); }

/// One comparison on the table: settings, groups, and the log density of each group without any fault.
struct Table {
    Grounds g;
    Setting a, b;
    std::vector<FindingGroup> groups;
    std::vector<double> share;      ///< prior that a group is the fault's sound, if there is one
    std::vector<double> by_health;  ///< log density as healthy sound of what was stopped (or started)
    std::vector<double> without;    ///< log density without any fault: healthy or chance
    std::optional<Cause> silent{};  ///< healthy sound of what was stopped (or started)
    bool stopped = false;
    bool told = true;  ///< something that was off, loaded or set right differs between the two
};

/// How the cause comes out in the second state. Where nothing that was told differs, something else was
/// done to the engine: a fault may then have come, gone or stayed (judged).
Course course_at(const Table& t, const Cause& c, double presence) {
    if (!t.told) return {.30, .15, .25, .15, .15};
    return course_of(t.g.layout, c, t.a, t.b, presence, false, t.g.l);
}

double log_course(const Course& course, const FindingGroup& group) {
    const auto at = place_of(group.speaker().verdict);
    return at ? std::log(course[*at]) : 0.0;
}

double log_fault(const Table& t, const Cause& c, const FindingGroup& group) {
    const auto& f = group.speaker();
    const auto course = course_at(t, c, presence_of(f));
    double sum = log_features(t.g, c, group) + log_course(course, group) + prominence_log_odds(t.g.l, f) +
                 strength_log_odds(t.g.l, f);
    if (!can_sound(c, t.a) && !can_sound(c, t.b)) sum += std::log(t.g.l.impossible);
    return sum;
}

void fill_densities(Table& t) {
    const auto& l = t.g.l;
    t.silent = healthy_sound_of_stopped(t.g.layout, t.a, t.b);
    const auto& silent = t.silent;
    const auto engine = healthy_engine(t.g.layout, t.a, t.b);
    const auto stray = something_else();
    const bool went = !stopped_between(t.g.layout, t.a, t.b).empty();
    t.stopped = went;
    t.told = t.a != t.b;
    const auto engine_course = course_of(t.g.layout, engine, t.a, t.b, 1.0, false, l);
    const double of_stopped = silent ? .45 : 0.0;
    const double of_engine = (1.0 - of_stopped) * l.healthy_stays;
    for (const auto& group : t.groups) {
        double health = -1e9;
        if (silent)
            health = std::log(of_stopped) + log_features(t.g, *silent, group) +
                     log_course(went ? l.silenced : l.started, group) + strength_log_odds(l, group.speaker());
        const double runs =
            std::log(of_engine) + log_features(t.g, engine, group) + log_course(engine_course, group);
        const double chance = std::log(1.0 - of_stopped - of_engine) + log_features(t.g, stray, group) +
                              log_course(l.chance, group);
        t.by_health.push_back(health);
        t.without.push_back(log_sum(health, log_sum(runs, chance)));
    }
}

Table table_of(const Grounds& g, const Comparison& comparison, const State& a, const State& b) {
    Table t{g, setting_of(g.layout, a), setting_of(g.layout, b), grouped(comparison.findings), {}, {}, {}};
    double sum = 0.0;
    for (const auto& group : t.groups) {
        t.share.push_back(1.0 + weight_of(group.speaker()));
        sum += t.share.back();
    }
    for (auto& s : t.share) s /= sum;
    fill_densities(t);
    return t;
}

/// Which group a cause would be: responsibilities sum to the share in which it is among the findings at all.
struct Weighed {
    double log_evidence = 0.0;
    std::vector<double> responsibility;
};

Weighed weigh(const Table& t, const std::vector<double>& log_as_fault) {
    Weighed w;
    w.responsibility.resize(t.groups.size(), 0.0);
    if (t.groups.empty()) return {std::log(1.0 - t.g.l.found), {}};
    double total = std::log(1.0 - t.g.l.found);
    for (std::size_t k = 0; k < t.groups.size(); ++k)
        total = log_sum(total, std::log(t.g.l.found * t.share[k]) + log_as_fault[k] - t.without[k]);
    for (std::size_t k = 0; k < t.groups.size(); ++k)
        w.responsibility[k] =
            std::exp(std::log(t.g.l.found * t.share[k]) + log_as_fault[k] - t.without[k] - total);
    w.log_evidence = total;
    return w;
}

Weighed weigh_cause(const Table& t, const Cause& c) {
    std::vector<double> as_fault;
    for (const auto& group : t.groups) as_fault.push_back(log_fault(t, c, group));
    return weigh(t, as_fault);
}

/// A fault that is not on the list: it may hang on what was stopped or not.
Weighed weigh_else(const Table& t) {
    const auto stray = something_else();
    std::vector<double> as_fault;
    for (const auto& group : t.groups) {
        const double stays = log_course(t.told ? t.g.l.unchanged : course_at(t, stray, 1.0), group);
        const double course =
            t.stopped ? log_sum(std::log(.5) + stays, std::log(.5) + log_course(t.g.l.silenced, group))
                      : stays;
        as_fault.push_back(log_features(t.g, stray, group) + course +
                           prominence_log_odds(t.g.l, group.speaker()) +
                           strength_log_odds(t.g.l, group.speaker()));
    }
    return weigh(t, as_fault);
}

/// What the change says of one cause, in words.
Reason course_reason(const Table& t, const Cause& c, const FindingGroup& group) {
    const auto at = place_of(group.speaker().verdict);
    if (!at) return {};
    const auto& l = t.g.l;
    if (!t.told) return {};
    const auto course = course_at(t, c, presence_of(group.speaker()));
    const double odds = std::log(course[*at] / l.chance[*at]);
    static constexpr const char* said[] = {"stayed ", "went down ", "went ", "came up ", "came "};
    const auto text = said[*at] + step_text(t.a, t.b);
    const bool before = can_sound(c, t.a), after = can_sound(c, t.b);
    if (before && !after) return {odds, text + ", when this cannot sound"};
    if (!before && after) return {odds, text + ", when this can sound again"};
    if (!before) return {std::log(l.impossible), "this could not sound in either state"};
    return {odds, text + (odds > 0 ? ", consistent with this" : ", though this could sound in both")};
}

/// The name to blame for a silence: what came off, else what started.
std::string expected_text(const Table& t) {
    if (t.stopped) {
        const auto what = what_is_off(t.b, t.a);
        return what.empty() ? "went silent with what was stopped" : "went silent with the " + what;
    }
    if (const auto on = what_is_off(t.a, t.b); !on.empty()) return "sounds again with the " + on + " back on";
    return "comes with what was switched on";
}

/// A beat that went is no healthy sound of what was stopped unless something of it turns or pumps so often.
bool may_be_healthy(const Table& t, const Finding& f) {
    return !f.beat_changed || (t.silent && explanation_of(t.g, *t.silent, f));
}

void write_expected(PairVerdict& v, const Table& t, const std::vector<double>& fault_share) {
    for (std::size_t k = 0; k < t.groups.size(); ++k) {
        const double health = std::exp(t.by_health[k] - t.without[k]) * (1.0 - fault_share[k]);
        if (health < .5) continue;
        for (const auto i : t.groups[k].places)
            if (v.findings[i].verdict != Verdict::there && may_be_healthy(t, v.findings[i]))
                v.findings[i].expected = expected_text(t);
    }
}

bool anything_unexpected(const std::vector<Finding>& findings) {
    return std::any_of(findings.begin(), findings.end(),
                       [](const Finding& f) { return f.flagged && !f.expected; });
}

}  // namespace

PairVerdict suspects_of_pair(const Layout& layout, const Comparison& comparison, const State& a,
                             const State& b, const Hands& hands, const Likelihoods& l) {
    const Grounds g{layout, l};
    const auto table = table_of(g, comparison, a, b);
    const auto causes = causes_of(layout);
    std::vector<Weighed> weighed;
    std::vector<double> log_evidence;
    for (const auto& c : causes) {
        weighed.push_back(weigh_cause(table, c));
        log_evidence.push_back(weighed.back().log_evidence);
    }
    const auto rest = weigh_else(table);
    const auto posterior =
        updated(g, prior_of(g, causes, hands, a.repaired != b.repaired ? l.no_fault_repaired : l.no_fault),
                log_evidence, rest.log_evidence);

    std::vector<double> fault_share(table.groups.size(), 0.0);
    for (std::size_t k = 0; k < fault_share.size(); ++k) {
        for (std::size_t i = 0; i < causes.size(); ++i)
            fault_share[k] += posterior.cause[i] * weighed[i].responsibility[k];
        fault_share[k] += posterior.something_else * rest.responsibility[k];
    }

    PairVerdict v;
    v.findings = comparison.findings;
    for (auto& f : v.findings) explain(g, causes, posterior, f);
    write_expected(v, table, fault_share);
    v.suspects = suspects_from(g, causes, posterior, log_evidence, "something else",
                               table.stopped ? "nothing is wrong: only the healthy sound of what stands still"
                                             : "nothing is wrong: chance, or another day's sound");
    for (auto& s : v.suspects) {
        const auto c =
            std::find_if(causes.begin(), causes.end(), [&](const Cause& x) { return x.text == s.cause; });
        if (c == causes.end() || table.groups.empty()) continue;
        const auto& r = weighed[static_cast<std::size_t>(c - causes.begin())].responsibility;
        const auto& group =
            table.groups[static_cast<std::size_t>(std::max_element(r.begin(), r.end()) - r.begin())];
        auto reasons = feature_reasons(g, *c, group);
        reasons.push_back(course_reason(table, *c, group));
        for (auto& h : hand_reasons(g, *c, hands)) reasons.push_back(std::move(h));
        write_reasons(s, std::move(reasons));
    }
    v.conclusion = conclusion_from(l, v.suspects);
    if (v.conclusion == Conclusion::open && !anything_unexpected(v.findings))
        v.conclusion = Conclusion::nothing_stands_out;
    return v;
}

}  // namespace cranknote
