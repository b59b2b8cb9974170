// Steps for eyes, hands and a held microphone.
#include <algorithm>
#include <cmath>

#include "diagnose/steps.hpp"
#include "diagnose/wording.hpp"

namespace cranknote {
namespace {

/// Something that turns under a cover which is on cannot be seen or reached.
bool hidden(const Workshop& w, const std::string& name) {
    const auto off = expand_off(w.g.layout, w.now.off);
    return std::any_of(w.g.layout.covers.begin(), w.g.layout.covers.end(), [&](const Cover& c) {
        const bool around = std::find(c.can_touch.begin(), c.can_touch.end(), name) != c.can_touch.end();
        return around && c.kind == CoverKind::cover && !off.contains(c.name);
    });
}

bool in_the_layout(const Workshop& w, const std::string& name) {
    return w.g.layout.part(name) || w.g.layout.drive(name) || w.g.layout.cover(name);
}

/// A yes-or-no step: probability of yes under a cause.
Candidate yes_or_no(Step step, std::function<double(const Cause&)> yes, double without) {
    Candidate c;
    c.step = std::move(step);
    c.outcomes = [yes = std::move(yes)](const Cause& cause) {
        const double p = yes(cause);
        return std::vector<double>{p, 1.0 - p};
    };
    c.without = {without, 1.0 - without};
    return c;
}

/// How often a look finds a trace of a cause where it is: marks and dust more often than an inner race.
double shows(CauseKind k) {
    switch (k) {
        case CauseKind::rub:
        case CauseKind::edge:
            return .75;
        case CauseKind::misalignment:
        case CauseKind::slip:
            return .55;
        case CauseKind::bearing:
        case CauseKind::rattle:
            return .45;
        default:
            return .15;
    }
}

double uncertainty(const Workshop& w, const std::string& part) {
    const auto turns = turns_of(w.g.layout, part);
    return turns ? turns->relative_error + turns->creep / 2.0 : 0.0;
}

}  // namespace

void add_looks(std::vector<Candidate>& to, const Workshop& w, const std::vector<std::string>& names) {
    constexpr double seen_on_innocent = .08;  // old marks and dust are found anywhere (judged)
    for (const auto& name : names) {
        if (!in_the_layout(w, name) || hidden(w, name)) continue;
        const bool looked = std::any_of(w.job.hands.saw.begin(), w.job.hands.saw.end(),
                                        [&](const Saw& s) { return s.on == name; });
        if (looked) continue;
        Step s;
        s.kind = StepKind::look;
        s.name = "look at the " + name;
        s.off = w.now.off;
        s.minutes = w.labour.look;
        s.cautions = {"Engine off, key out; an electric fan may start by itself."};
        to.push_back(yes_or_no(
            std::move(s),
            [&w, name](const Cause& c) {
                const double near = concerns(w.g.layout, c, name);
                return seen_on_innocent + near * (near >= 1.0 ? shows(c.kind) : .1);
            },
            seen_on_innocent));
    }
}

/// One step: the places in turn, the most suspected first. Its outcome is the place where it is loudest, or
/// that none is.
void add_probes(std::vector<Candidate>& to, const Workshop& w, const std::vector<std::string>& names) {
    const auto limit = run_limit(w.g.layout, w.now.off);
    if (limit.run != RunWithout::ok) return;  // no leaning over an engine that runs for seconds only
    constexpr double loudest_there = .6;      // the place that is truly it is the loudest (judged)
    constexpr double none_loudest = .25;      // all alike, where it is at none of them (judged)
    constexpr std::size_t most = 4;
    std::vector<std::string> places;
    for (const auto& name : names)
        if (in_the_layout(w, name) && places.size() < most) places.push_back(name);
    if (places.size() < 2 || !w.job.hands.probes.empty()) return;
    for (const auto& c : w.job.complaints)
        if (!c.probes.empty()) return;
    const auto k = static_cast<double>(places.size());
    Candidate c;
    c.step.kind = StepKind::probe;
    c.step.name = "microphone near the " + wording::joined(places) + " in turn";
    c.step.off = w.now.off;
    c.step.near = places.front();
    c.step.minutes = w.labour.probe + .5 * k;
    c.step.cautions = {
        "An arm's length from anything that turns; nothing loose: sleeves, hair, straps, leads tied back."};
    c.without.assign(places.size() + 1, (1.0 - none_loudest) / k);
    c.without.back() = none_loudest;
    c.outcomes = [&w, places, without = c.without](const Cause& cause) {
        std::vector<double> at;
        double near = 0.0;
        for (const auto& place : places) {
            at.push_back(concerns(w.g.layout, cause, place) >= 1.0 ? 1.0 : 0.0);
            near += at.back();
        }
        if (near <= 0.0) return without;
        at.push_back(0.0);
        for (std::size_t i = 0; i < at.size(); ++i)
            at[i] = loudest_there * at[i] / near + (1.0 - loudest_there) * without[i];
        return at;
    };
    to.push_back(std::move(c));
}

void add_measures(std::vector<Candidate>& to, const Workshop& w, const std::vector<std::string>& names) {
    constexpr double worth_measuring = .008;  // less than this a hand count would not sharpen much
    for (const auto& name : names) {
        const double before = uncertainty(w, name);
        if (!w.g.layout.part(name) || before < worth_measuring) continue;
        Step s;
        s.kind = StepKind::measure;
        s.name = "count the turns of the " + name + " over ten crank turns by hand";
        s.off = w.now.off;
        s.minutes = w.labour.measure;
        s.cautions = {"Engine off, key out, plugs or clutch so that it turns freely."};
        // With the guilty thing measured its line fits; an innocent one's would fit by chance as often as
        // the sharper line is narrower than the wide one.
        const double by_chance = std::clamp(.004 / before, .1, .7);
        to.push_back(yes_or_no(
            std::move(s),
            [name, by_chance](const Cause& c) {
                return c.part == name && !(c.tones.empty() && c.beats.empty()) ? .9 : by_chance;
            },
            by_chance));
    }
}

}  // namespace cranknote
