#include "diagnose/posterior.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace cranknote {
namespace {

constexpr double worth_showing = .005;
constexpr double worth_a_tie = .03;
constexpr double worth_a_sentence = .35;  // odds of 1.4

double hand_log_odds(const Grounds& g, const Cause& c, const Hands& hands) {
    double odds = 0.0;
    double nearest = 0.0;
    for (const auto& name : hands.worked_on) nearest = std::max(nearest, concerns(g.layout, c, name));
    if (nearest >= 1.0)
        odds += std::log(g.l.worked_on);
    else if (nearest > 0.0)
        odds += std::log(g.l.worked_on_near);
    for (const auto& s : hands.saw) {
        const double how_near = concerns(g.layout, c, s.on);
        odds += how_near * std::log(s.speaks_for ? g.l.saw_for : 1.0 / g.l.saw_against);
    }
    return odds;
}

/// Loudest place first: a cause that sits where it was loudest gains, one at a quieter place loses.
double probe_log_odds(const Grounds& g, const Cause& c, const Hands& hands) {
    std::optional<double> loudest;
    for (const auto& p : hands.probes)
        if (p.level) loudest = std::max(loudest.value_or(p.level->value()), p.level->value());
    if (!loudest || hands.probes.size() < 2) return 0.0;  // one place alone has nothing to be louder than
    double odds = 0.0;
    for (const auto& p : hands.probes) {
        if (!p.level || concerns(g.layout, c, p.near) < 1.0) continue;
        const double below = (*loudest - p.level->value()) / g.l.probe_db;
        odds = std::log(2.5) - .5 * below * below;  // at the loudest of a few places: odds 2.5 (judged)
    }
    return std::clamp(odds, -2.5, 2.5);
}

bool tied(const Grounds& g, double one, double other) {
    return std::abs(one - other) < std::log(g.l.tie_factor) * g.l.temperature;
}

double gap(const Course& a, const Course& b) {
    double d = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) d += std::abs(a[i] - b[i]);
    return d / 2.0;
}

}  // namespace

Posterior prior_of(const Grounds& g, const std::vector<Cause>& causes, const Hands& hands, double no_fault) {
    Posterior p;
    p.no_fault = no_fault;
    p.something_else = (1.0 - no_fault) * g.l.something_else;
    for (const auto& c : causes) {
        const double kind = g.l.kind_weight[static_cast<std::size_t>(c.kind)];
        p.cause.push_back(kind * c.weight *
                          std::exp(hand_log_odds(g, c, hands) + probe_log_odds(g, c, hands)));
    }
    const double sum = std::accumulate(p.cause.begin(), p.cause.end(), 0.0);
    for (auto& x : p.cause) x *= (1.0 - p.rest()) / std::max(sum, 1e-12);
    return p;
}

Posterior updated(const Grounds& g, const Posterior& prior, const std::vector<double>& log_evidence,
                  double log_else) {
    const auto tempered = [&](double x) { return x / g.l.temperature; };
    double top = std::max(0.0, tempered(log_else));
    for (const auto e : log_evidence) top = std::max(top, tempered(e));
    Posterior p = prior;
    for (std::size_t i = 0; i < p.cause.size(); ++i) p.cause[i] *= std::exp(tempered(log_evidence[i]) - top);
    p.no_fault *= std::exp(-top);
    p.something_else *= std::exp(tempered(log_else) - top);
    const double sum = std::accumulate(p.cause.begin(), p.cause.end(), p.rest());
    const auto scale = [&](double s) {
        for (auto& x : p.cause) x *= s;
        p.no_fault *= s;
        p.something_else *= s;
    };
    scale(1.0 / sum);
    if (p.something_else < g.l.other_floor) {
        const double keep = (1.0 - g.l.other_floor) / (1.0 - p.something_else);
        scale(keep);
        p.something_else = g.l.other_floor;
    }
    return p;
}

std::vector<std::vector<std::size_t>> ties(const Grounds& g, const std::vector<Cause>& causes,
                                           const Posterior& posterior,
                                           const std::vector<double>& log_evidence) {
    std::vector<std::vector<std::size_t>> with(causes.size());
    for (std::size_t i = 0; i < causes.size(); ++i)
        for (std::size_t j = 0; j < causes.size(); ++j)
            if (i != j && posterior.cause[i] >= worth_a_tie && posterior.cause[j] >= worth_a_tie &&
                log_evidence[i] > 0.0 && log_evidence[j] > 0.0 && tied(g, log_evidence[i], log_evidence[j]))
                with[i].push_back(j);
    return with;
}

std::vector<Suspect> suspects_from(const Grounds& g, const std::vector<Cause>& causes,
                                   const Posterior& posterior, const std::vector<double>& log_evidence,
                                   const std::string& else_text, const std::string& nothing_text) {
    const auto with = ties(g, causes, posterior, log_evidence);
    std::vector<Suspect> list;
    for (std::size_t i = 0; i < causes.size(); ++i) {
        if (posterior.cause[i] < worth_showing) continue;
        const auto& c = causes[i];
        Suspect s{c.text, c.part, c.also, c.kind, std::min(posterior.cause[i], g.l.highest), {}, {}, {}};
        for (const auto j : with[i]) s.tied_with.push_back(causes[j].text);
        if (!with[i].empty()) s.separated_by = what_separates(g, c, causes[with[i].front()]);
        list.push_back(std::move(s));
    }
    const auto add = [&](const std::string& text, double probability) {
        Suspect rest;
        rest.cause = text;
        rest.probability = std::min(probability, g.l.highest);
        list.push_back(std::move(rest));
    };
    add(else_text, nothing_text.empty() ? posterior.rest() : posterior.something_else);
    if (!nothing_text.empty() && posterior.no_fault >= worth_showing) add(nothing_text, posterior.no_fault);
    std::stable_sort(list.begin(), list.end(),
                     [](const auto& a, const auto& b) { return a.probability > b.probability; });
    return list;
}

Conclusion conclusion_from(const Likelihoods& l, const std::vector<Suspect>& suspects) {
    if (suspects.empty()) return Conclusion::nothing_stands_out;
    const auto& first = suspects.front();
    if (first.kind == CauseKind::other) return Conclusion::open;
    if (first.probability >= l.named) return Conclusion::named;
    double together = first.probability;
    for (const auto& s : suspects)
        for (const auto& name : first.tied_with)
            if (s.cause == name) together += s.probability;
    return !first.tied_with.empty() && together >= l.named ? Conclusion::tie : Conclusion::open;
}

std::vector<Reason> hand_reasons(const Grounds& g, const Cause& cause, const Hands& hands) {
    std::vector<Reason> reasons;
    for (const auto& name : hands.worked_on)
        if (const double near = concerns(g.layout, cause, name); near > 0.0)
            reasons.push_back({std::log(near >= 1.0 ? g.l.worked_on : g.l.worked_on_near),
                               "the " + name + " was worked on before the noise came"});
    for (const auto& s : hands.saw)
        if (const double near = concerns(g.layout, cause, s.on); near > 0.0)
            reasons.push_back({near * std::log(s.speaks_for ? g.l.saw_for : 1.0 / g.l.saw_against),
                               "seen on the " + s.on + ": " + s.text});
    if (const double odds = probe_log_odds(g, cause, hands); odds != 0.0)
        reasons.push_back({odds, odds > 0 ? "loudest with the microphone near it"
                                          : "quieter with the microphone near it than elsewhere"});
    return reasons;
}

void write_reasons(Suspect& suspect, std::vector<Reason> reasons) {
    std::stable_sort(reasons.begin(), reasons.end(), [](const auto& a, const auto& b) {
        return std::abs(a.log_odds) > std::abs(b.log_odds);
    });
    for (auto& r : reasons) {
        if (r.text.empty() || std::abs(r.log_odds) < worth_a_sentence) continue;
        (r.log_odds > 0 ? suspect.evidence_for : suspect.evidence_against).push_back(std::move(r.text));
    }
}

void explain(const Grounds& g, const std::vector<Cause>& causes, const Posterior& posterior, Finding& f) {
    constexpr std::size_t most = 5;
    constexpr double unsuspected = .01;  // a good fit of an unlikely cause is still shown, behind
    std::vector<std::pair<double, Explanation>> found;
    for (std::size_t i = 0; i < causes.size(); ++i)
        if (auto e = explanation_of(g, causes[i], f))
            found.emplace_back(e->fit * (posterior.cause[i] + unsuspected), std::move(*e));
    std::stable_sort(found.begin(), found.end(),
                     [](const auto& x, const auto& y) { return x.first > y.first; });
    f.explained_by.clear();
    for (std::size_t i = 0; i < std::min(most, found.size()); ++i)
        f.explained_by.push_back(std::move(found[i].second));
}

std::string what_separates(const Grounds& g, const Cause& one, const Cause& other) {
    const Setting as_found;
    std::string best;
    double most = .25;  // a step whose outcomes differ by less would hardly tell them apart
    const auto consider = [&](const State& state, const std::string& text) {
        const auto now = setting_of(g.layout, state);
        const auto of = [&](const Cause& c) {
            return course_of(g.layout, c, as_found, now, 1.0, false, g.l);
        };
        if (const double d = gap(of(one), of(other)); d > most) {
            most = d;
            best = text;
        }
    };
    for (const auto check : checks) {
        State state;
        state.with = {std::string(check)};
        if (check != "shut-off" && check != "warm") consider(state, "the check " + state.with.front());
    }
    for (const auto& pull : g.layout.pulls) {
        State state;
        state.off = {pull.name};
        if (run_limit(g.layout, state.off).run != RunWithout::never) consider(state, pull.name);
    }
    return best;
}

}  // namespace cranknote
