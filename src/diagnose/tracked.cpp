#include "diagnose/tracked.hpp"

#include <algorithm>
#include <cmath>

#include "diagnose/healthy.hpp"

namespace cranknote {
namespace {

double presence_of(const TrackedComplaint& c) {
    const double seen = std::max(c.finding.presence[0], c.finding.presence[1]);
    return c.sometimes ? std::min(seen, .6) : seen;
}

/// One judged state: its place in the course, and its weight. A state that was recorded twice counts its
/// second time half, its third a third: the engine, the room and the fault's mood are the same.
struct Judged {
    std::size_t state;
    std::size_t place;
    double weight;
};

std::vector<Judged> judged_states(const std::vector<State>& states, const std::vector<Setting>& settings,
                                  const TrackedComplaint& complaint, double temper) {
    std::vector<Judged> judged;
    for (const auto& v : complaint.by_state) {
        const auto at = place_of(v.verdict);
        const auto state =
            std::find_if(states.begin(), states.end(), [&](const State& s) { return s.name == v.state; });
        if (!at || state == states.end() || state == states.begin()) continue;
        const auto k = static_cast<std::size_t>(state - states.begin());
        const auto before = std::count_if(judged.begin(), judged.end(),
                                          [&](const Judged& j) { return settings[j.state] == settings[k]; });
        judged.push_back({k, *at, temper / static_cast<double>(before + 1)});
    }
    return judged;
}

struct Way {
    std::vector<Setting> settings;
    std::vector<Judged> judged;
    double presence;
};

Way way_of(const Grounds& g, const std::vector<State>& states, const TrackedComplaint& complaint) {
    Way w{settings_of(g.layout, states), {}, presence_of(complaint)};
    w.judged = judged_states(states, w.settings, complaint, g.l.state_temper);
    return w;
}

double log_way(const Grounds& g, const Cause& cause, const Way& w) {
    const auto touched = touched_before(cause, w.settings);
    double sum = can_sound(cause, w.settings.front()) ? 0.0 : std::log(g.l.impossible);
    for (const auto& j : w.judged) {
        const auto course = course_of(g.layout, cause, w.settings.front(), w.settings[j.state], w.presence,
                                      touched[j.state], g.l);
        sum += j.weight * std::log(course[j.place]);
    }
    return sum;
}

/// A cause that is not on the list hangs on something unknown: in each state it may have been stopped.
double any_course(const Grounds& g, const Way& w, const Judged& j) {
    const auto &first = w.settings.front(), &now = w.settings[j.state];
    const bool same_things = now.off == first.off && now.still == first.still;
    const double hangs_on_it = same_things ? 0.0 : .25;
    return (.85 - hangs_on_it) * g.l.unchanged[j.place] + hangs_on_it * g.l.silenced[j.place] +
           .15 * g.l.chance[j.place];
}

double log_way_else(const Grounds& g, const Way& w) {
    double sum = 0.0;
    for (const auto& j : w.judged) sum += j.weight * std::log(any_course(g, w, j));
    return sum;
}

/// Healthy sound of one owner, or of the engine: whichever explains it, each owner as likely as the next.
double log_healthy(const Grounds& g, const FindingGroup& group, const Way& w) {
    const Setting& as_found = w.settings.front();
    const auto engine = healthy_engine(g.layout, as_found, as_found);
    double sum = std::log(.5) + log_features(g, engine, group) + log_way(g, engine, w);
    std::vector<std::string> owners;
    for (const auto& d : g.layout.drives) owners.push_back(d.name);
    for (const auto& p : g.layout.parts)
        if (!p.turns_with_crank) owners.push_back(p.name);
    const double each = std::log(.5 / std::max<double>(1.0, static_cast<double>(owners.size())));
    for (const auto& owner : owners) {
        Setting without = as_found;
        without.still.insert(owner);
        auto sound = healthy_sound_of_stopped(g.layout, as_found, without);
        if (!sound) continue;
        sound->must_turn = {owner};
        sum = log_sum(sum, each + log_features(g, *sound, group) + log_way(g, *sound, w));
    }
    return sum;
}

}  // namespace

FindingGroup group_of(const TrackedComplaint& c) {
    FindingGroup g{{c.finding}, {0}};
    for (const auto& f : c.also) {
        g.findings.push_back(f);
        g.places.push_back(g.places.size());
    }
    return g;
}

std::vector<bool> touched_before(const Cause& cause, const std::vector<Setting>& settings) {
    std::vector<bool> touched;
    bool was_silent = false;
    for (const auto& s : settings) {
        // A check that silences it takes nothing off.
        const bool taken_off =
            std::any_of(cause.must_turn.begin(), cause.must_turn.end(),
                        [&](const auto& n) { return s.still.contains(n) || s.off.contains(n); }) ||
            std::any_of(cause.must_be_on.begin(), cause.must_be_on.end(),
                        [&](const auto& n) { return s.off.contains(n); });
        touched.push_back(was_silent && !taken_off);
        was_silent = was_silent || taken_off;
    }
    return touched;
}

TrackedEvidence weigh_tracked(const Grounds& g, const std::vector<Cause>& causes,
                              const std::vector<State>& states, const TrackedComplaint& complaint) {
    const auto way = way_of(g, states, complaint);
    const auto group = group_of(complaint);
    const double healthy = log_healthy(g, group, way);
    const double how_prominent = prominence_log_odds(g.l, complaint.finding);
    TrackedEvidence e;
    for (const auto& c : causes)
        e.cause.push_back(log_features(g, c, group) + log_way(g, c, way) + how_prominent - healthy);
    e.something_else =
        log_features(g, something_else(), group) + log_way_else(g, way) + how_prominent - healthy;
    return e;
}

std::vector<Reason> state_reasons(const Grounds& g, const Cause& cause, const std::vector<State>& states,
                                  const TrackedComplaint& complaint) {
    const auto way = way_of(g, states, complaint);
    const auto touched = touched_before(cause, way.settings);
    static constexpr const char* said[] = {"stayed ", "went down ", "went ", "came up ", "came "};
    std::vector<Reason> reasons;
    for (const auto& j : way.judged) {
        const auto& now = way.settings[j.state];
        const auto course =
            course_of(g.layout, cause, way.settings.front(), now, way.presence, touched[j.state], g.l);
        const double odds = j.weight * std::log(course[j.place] / any_course(g, way, j));
        auto text = said[j.place] + step_text(way.settings.front(), now);
        const bool quiet = j.place == *place_of(Verdict::gone);
        if (!can_sound(cause, now))
            text += ", when this cannot sound";
        else if (touched[j.state] && quiet)
            text += ": what was taken off and put back may have been cured by the touching";
        else if (touched[j.state] && odds > 0)
            text += ": it came back with what was put back on";
        else if (odds < 0)
            text += ", though this still runs";
        else
            text += ", consistent with this";
        reasons.push_back({odds, text});
    }
    return reasons;
}

}  // namespace cranknote
