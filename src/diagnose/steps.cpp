#include "diagnose/steps.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

namespace cranknote {
namespace {

bool lists(const std::vector<std::string>& v, const std::string& name) {
    return std::find(v.begin(), v.end(), name) != v.end();
}

/// Outcomes of recording a state: the five verdicts, and "cannot tell".
std::vector<double> with_cannot_tell(const Course& c, double cannot_tell) {
    std::vector<double> p(c.begin(), c.end());
    for (auto& x : p) x *= 1.0 - cannot_tell;
    p.push_back(cannot_tell);
    return p;
}

/// A state that follows on those that were recorded: repairs stay.
Setting setting_from_here(const Workshop& w, const State& state) {
    auto states = w.job.states;
    states.push_back(state);
    return settings_of(w.g.layout, states).back();
}

/// A recorded state as a candidate. The step's minutes are already filled.
Candidate recorded(const Workshop& w, Step step, const State& state) {
    const auto now = setting_from_here(w, state);
    const double unsure = cannot_tell_now(w.job);
    const bool refit = step.kind == StepKind::refit;
    Candidate c;
    c.step = std::move(step);
    c.outcomes = [&w, now, unsure, refit](const Cause& cause) {
        return with_cannot_tell(course_of(w.g.layout, cause, w.as_found, now, .95, refit, w.g.l), unsure);
    };
    c.without = with_cannot_tell(w.g.l.chance, unsure);
    return c;
}

bool already_recorded(const Workshop& w, const State& state) {
    const auto wanted = setting_from_here(w, state);
    const auto had = settings_of(w.g.layout, w.job.states);
    return std::any_of(had.begin(), had.end(), [&](const Setting& s) {
        return s.off == wanted.off && s.with == wanted.with && s.repaired == wanted.repaired;
    });
}

bool has_part(const Layout& l, PartKind k) {
    return std::any_of(l.parts.begin(), l.parts.end(), [&](const Part& p) { return p.kind == k; });
}

bool has_friction_drive(const Layout& l) {
    return std::any_of(l.drives.begin(), l.drives.end(), [](const Drive& d) {
        return d.kind == DriveKind::ribbed || d.kind == DriveKind::vee || d.kind == DriveKind::flat;
    });
}

struct CheckStep {
    const char* name;
    bool possible;
    double more_minutes;
    const char* caution;
};

std::vector<CheckStep> check_steps(const Layout& l) {
    return {
        {"ac-on", has_part(l, PartKind::compressor), 0, ""},
        {"lock", has_part(l, PartKind::steering_pump), 0,
         "Seconds only on full lock. Brakes on, neutral, wheels chocked."},
        {"lamps-on", has_part(l, PartKind::alternator), 0, ""},
        {"mist", has_friction_drive(l), 1,
         "A fine mist from the side: hands, sleeves and bottle clear of the belt."},
        {"run-up", true, 0, "Slowly to some 2500 rpm and back, brakes on, neutral."},
        {"clutch-down", true, 0, ""},
        {"cylinder-cut", l.engine.cylinders > 1, 4,
         "Ignition carries tens of kilovolts: unplug with the engine off. Seconds only, or the catalyst "
         "overheats."},
        {"shut-off", true, 0, "Let the recording run on while the engine stops."},
    };
}

/// Everything that must come off first and is still on, nearest first; false if the chain does not end.
bool collect_required(const Workshop& w, const Pull& pull, std::vector<std::string>& required,
                      int depth = 0) {
    if (depth > 20) return false;
    for (const auto& name : pull.requires_) {
        const auto* p = w.g.layout.pull(name);
        if (!p || lists(w.now.off, name) || lists(required, name)) continue;
        if (!collect_required(w, *p, required, depth + 1)) return false;
        required.push_back(name);
    }
    return true;
}

bool is_off(const Workshop& w, const Pull& pull) {
    const auto off = expand_off(w.g.layout, w.now.off);
    return std::all_of(pull.off.begin(), pull.off.end(), [&](const auto& n) { return off.contains(n); });
}

void append_unique(std::vector<std::string>& to, const std::vector<std::string>& more) {
    for (const auto& m : more)
        if (!m.empty() && !lists(to, m)) to.push_back(m);
}

bool engine_is_cold(const Workshop& w) { return w.now.cold || w.now.from_cold_seconds; }

/// A state without coolant moving needs a cold engine: the wait counts.
double cooling_minutes(const Workshop& w, RunWithout run) {
    return run == RunWithout::seconds_from_cold && !engine_is_cold(w) ? w.labour.waiting * w.labour.cooling
                                                                      : 0.0;
}

void add_run_cautions(Step& step, const RunLimit& limit) {
    if (limit.run != RunWithout::seconds_from_cold) return;
    append_unique(step.cautions,
                  {limit.why, "Compare with as found from cold at the same seconds since start."});
}

double work_of(const Labour& labour, const Pull& p) {
    return p.minutes + p.refit_minutes + labour.waiting * p.wait_minutes;
}

std::vector<std::string> renew_cautions(const Pull& p) {
    std::vector<std::string> c;
    for (const auto& item : p.renew) c.push_back("Renew the " + item + ": it may not be used again.");
    return c;
}

bool frees_a_flapping_cover(const Layout& layout, const Pull& p) {
    return std::any_of(p.off.begin(), p.off.end(), [&](const auto& n) { return layout.cover(n) != nullptr; });
}

}  // namespace

bool has_repeat(const JobEvidence& job) {
    for (std::size_t i = 0; i < job.states.size(); ++i)
        for (std::size_t j = i + 1; j < job.states.size(); ++j)
            if (job.states[i].off == job.states[j].off && job.states[i].with == job.states[j].with &&
                job.states[i].repaired == job.states[j].repaired && job.states[i].cold == job.states[j].cold)
                return true;
    return false;
}

double cannot_tell_now(const JobEvidence& job) {
    // Half a dozen imagined verdicts keep a first one from ruling: one in four of them untold without a
    // repeat, one in eight with one (judged).
    double untold = has_repeat(job) ? .75 : 1.5, all = 6.0;
    for (const auto& c : job.complaints)
        for (std::size_t i = 1; i < c.by_state.size(); ++i) {
            all += 1.0;
            untold += c.by_state[i].verdict == Verdict::cannot_tell ? 1.0 : 0.0;
        }
    return std::min(.8, untold / all);
}

Workshop workshop_of(const Grounds& g, const std::vector<Cause>& causes, const JobEvidence& job,
                     const Labour& labour) {
    Workshop w{g, causes, job, labour, {}, {}};
    if (!job.states.empty()) {
        w.now = job.states.back();
        w.as_found = setting_of(g.layout, job.states.front());
    }
    w.now.with.clear();  // a check ends with its recording
    return w;
}

void add_checks(std::vector<Candidate>& to, const Workshop& w) {
    const auto limit = run_limit(w.g.layout, w.now.off);
    if (limit.run == RunWithout::never) return;
    for (const auto& check : check_steps(w.g.layout)) {
        auto state = w.now;
        state.with = {check.name};
        if (!check.possible || already_recorded(w, state)) continue;
        Step s;
        s.kind = StepKind::check;
        s.name = check.name;
        s.off = w.now.off;
        s.with = state.with;
        s.minutes = w.labour.recording + w.labour.check + check.more_minutes + cooling_minutes(w, limit.run);
        append_unique(s.cautions, {check.caution});
        add_run_cautions(s, limit);
        to.push_back(recorded(w, std::move(s), state));
    }
}

void add_pulls(std::vector<Candidate>& to, const Workshop& w) {
    for (const auto& pull : w.g.layout.pulls) {
        std::vector<std::string> required;
        if (is_off(w, pull) || !collect_required(w, pull, required)) continue;
        auto state = w.now;
        append_unique(state.off, required);
        append_unique(state.off, {pull.name});
        const auto limit = run_limit(w.g.layout, state.off);
        if (limit.run == RunWithout::never || already_recorded(w, state)) continue;
        Step s;
        s.kind = StepKind::pull;
        s.name = pull.name;
        s.off = state.off;
        s.requires_ = required;
        s.minutes = w.labour.recording + work_of(w.labour, pull) + cooling_minutes(w, limit.run);
        for (const auto& name : required) {
            const auto* p = w.g.layout.pull(name);
            s.minutes += work_of(w.labour, *p);
            append_unique(s.cautions, p->cautions);
            append_unique(s.cautions, renew_cautions(*p));
        }
        append_unique(s.cautions, pull.cautions);
        append_unique(s.cautions, renew_cautions(pull));
        if (frees_a_flapping_cover(w.g.layout, pull))
            append_unique(s.cautions, {"Take it right off, or space it and bolt it: never run beside a "
                                       "half-loosened cover."});
        add_run_cautions(s, limit);
        to.push_back(recorded(w, std::move(s), state));
    }
}

void add_refits(std::vector<Candidate>& to, const Workshop& w) {
    for (const auto& name : w.now.off) {
        const auto* pull = w.g.layout.pull(name);
        if (!pull) continue;
        auto state = w.now;
        state.off.erase(std::remove(state.off.begin(), state.off.end(), name), state.off.end());
        // What was pulled after it stands in the way: it goes back on with it.
        double more = 0.0;
        std::vector<std::string> with_it;
        for (const auto& other : w.now.off)
            if (const auto* p = w.g.layout.pull(other); p && lists(p->requires_, name)) {
                with_it.push_back(other);
                more += p->refit_minutes + w.labour.waiting * p->wait_minutes;
            }
        for (const auto& other : with_it)
            state.off.erase(std::remove(state.off.begin(), state.off.end(), other), state.off.end());
        const auto limit = run_limit(w.g.layout, state.off);
        if (limit.run == RunWithout::never) continue;
        Step s;
        s.kind = StepKind::refit;
        s.name = name;
        s.off = state.off;
        s.minutes = w.labour.recording + pull->refit_minutes + w.labour.waiting * pull->wait_minutes + more;
        append_unique(s.cautions, renew_cautions(*pull));
        add_run_cautions(s, limit);
        to.push_back(recorded(w, std::move(s), state));
    }
}

}  // namespace cranknote
