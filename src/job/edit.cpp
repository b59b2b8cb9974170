#include "job/edit.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <set>

#include "layout/kinematics.hpp"
#include "units/error.hpp"

namespace cranknote::job {
namespace {

[[noreturn]] void wrong_call(const std::string& trouble, const std::string& where,
                             const std::string& advice = "") {
    throw Error(trouble, where, advice, Error::Kind::wrong_call);
}

std::string listed(const auto& names, const std::string& none) {
    std::string text;
    for (const auto& name : names) text += (text.empty() ? "" : ", ") + std::string(name);
    return text.empty() ? none : text;
}

std::string in_quotes(const std::string& name) { return "\"" + name + "\""; }

void require_known(const std::string& word, const auto& valid, const std::string& option) {
    if (std::ranges::find(valid, word) != valid.end()) return;
    const std::string near = nearest_name(word, {valid.begin(), valid.end()});
    wrong_call(
        "there is no " + in_quotes(word), option,
        near.empty() ? "there are: " + listed(valid, "none") : "did you mean " + in_quotes(near) + "?");
}

/// Names of things that the microphone can be held near: not pulls.
void require_place(const Layout& layout, const std::string& name) {
    if (layout.pull(name))
        wrong_call(in_quotes(name) + " is a pull, not a place", "--near", "name a part, drive or cover");
    require_name(layout, name, "--near");
}

std::set<std::string> as_set(const std::vector<std::string>& names) { return {names.begin(), names.end()}; }

void require_same_state(const Layout& layout, const State& state, const Addition& a) {
    const std::string advice = "say the same again, or give this state a name of its own";
    const auto was = expand_off(layout, state.off), is = expand_off(layout, a.off);
    if (was != is)
        wrong_call("in state " + in_quotes(state.name) + " is off: " + listed(was, "nothing") +
                       "; this says: " + listed(is, "nothing"),
                   "--off", advice);
    if (as_set(state.with) != as_set(a.with))
        wrong_call("state " + in_quotes(state.name) + " was recorded with: " + listed(state.with, "nothing") +
                       "; this says: " + listed(a.with, "nothing"),
                   "--with", advice);
    if (a.repaired && !state.repaired)
        wrong_call("state " + in_quotes(state.name) + " was recorded before the repair", "--repaired",
                   "give the state after it a name of its own");
    if (!a.repaired_what.empty() && a.repaired_what != state.repaired_what)
        wrong_call("in state " + in_quotes(state.name) + " another thing was repaired: " +
                       (state.repaired_what.empty() ? "not said which" : state.repaired_what),
                   "--repaired", "give this state a name of its own");
}

void require_first_state(const Job& job, const Addition& a) {
    if (job.states.empty() && a.state != first_state)
        wrong_call("the first state of a job is " + in_quotes(std::string(first_state)) + ", not " +
                       in_quotes(a.state),
                   "--state", "record the engine as it came first");
    if (a.state == first_state && a.repaired)
        wrong_call(in_quotes(std::string(first_state)) + " is before any repair", "--repaired",
                   "give the state after it a name of its own");
}

void check_words(const Layout& layout, const Addition& a) {
    if (a.state.empty()) wrong_call("a state needs a name", "--state", "\"as found\", \"fan off\", ...");
    for (const auto& check : a.with) require_known(check, checks, "--with");
    if (a.recording.near) require_place(layout, *a.recording.near);
    if (!a.repaired_what.empty()) require_name(layout, a.repaired_what, "--repaired");
    const auto& [from, to] = std::pair(a.recording.from, a.recording.to);
    if (to && *to <= from.value_or(Seconds{0})) wrong_call("the stretch ends before it begins", "--to");
}

bool same_stretch(const Recording& a, const Recording& b) { return a.from == b.from && a.to == b.to; }

bool overlap(const Recording& a, const Recording& b) {
    constexpr double end = 1e300;
    const auto from = [](const Recording& r) { return r.from.value_or(Seconds{0}).value(); };
    const auto to = [](const Recording& r) { return r.to.value_or(Seconds{end}).value(); };
    return from(a) < to(b) && from(b) < to(a);
}

void check_stretches(const Job& job, const Recording& added, Understood& understood) {
    for (const auto& r : job.recordings) {
        if (added.sha256.empty() || r.sha256 != added.sha256) continue;
        if (same_stretch(r, added))
            wrong_call("the job has this sound already: " + r.id + ", state " + in_quotes(r.state), r.file,
                       "a repeat is a recording of its own; for a part of the file say --from and --to");
        if (overlap(r, added))
            understood.remarks.push_back("It overlaps with " + r.id + " of state " + in_quotes(r.state) +
                                         ", which is of the same file.");
    }
}

/// When a state began, as far as its recordings say.
std::optional<When> began(const Job& job, const State& state) {
    std::optional<When> first;
    for (const auto& r : job.recordings)
        if (r.state == state.name && r.at && (!first || surely_before(*r.at, *first))) first = r.at;
    return first;
}

/// Where a new state goes: before the first that is known to have begun later, but never before "as found".
std::size_t place_for(const Job& job, const std::optional<When>& at) {
    if (at)
        for (std::size_t i = 1; i < job.states.size(); ++i)
            if (const auto other = began(job, job.states[i]); other && surely_before(*at, *other)) return i;
    return job.states.size();
}

std::string next_recording_id(const Job& job) {
    int highest = 0;
    for (const auto& r : job.recordings) {
        int number = 0;
        const char* end = r.id.data() + r.id.size();
        if (r.id.starts_with("r") && std::from_chars(r.id.data() + 1, end, number).ptr == end)
            highest = std::max(highest, number);
    }
    return "r" + std::to_string(highest + 1);
}

void check_run(const Layout& layout, const Addition& a, Understood& understood) {
    const auto limit = run_limit(layout, a.off);
    if (limit.run == RunWithout::never)
        wrong_call("an engine must not run like this: " + limit.why, "--off", "nothing was added");
    if (limit.run == RunWithout::seconds_from_cold) understood.caution = limit.why;
}

void enter_state(Job& job, const Layout& layout, const Addition& a, Understood& understood) {
    if (const State* there = job.state(a.state)) {
        require_same_state(layout, *there, a);
        understood.place = static_cast<std::size_t>(there - job.states.data());
        return;
    }
    understood.new_state = true;
    understood.place = place_for(job, a.recording.at);
    if (understood.place < job.states.size())
        understood.remarks.push_back("By its time it comes before " +
                                     in_quotes(job.states[understood.place].name) + ".");
    job.states.insert(job.states.begin() + static_cast<std::ptrdiff_t>(understood.place),
                      State{a.state, a.off, a.with, a.repaired, a.repaired_what, ""});
}

}  // namespace

void require_name(const Layout& layout, const std::string& name, const std::string& option) {
    require_known(name, names_of(layout), option);
}

Understood enter_recording(Job& job, const Layout& layout, Addition a) {
    Understood understood;
    check_words(layout, a);
    const auto off = expand_off(layout, a.off);
    const auto still = still_when_off(layout, a.off);
    understood.off.assign(off.begin(), off.end());
    understood.still.assign(still.begin(), still.end());
    check_run(layout, a, understood);
    require_first_state(job, a);
    check_stretches(job, a.recording, understood);
    enter_state(job, layout, a, understood);
    a.recording.id = understood.id = next_recording_id(job);
    a.recording.state = a.state;
    job.recordings.push_back(std::move(a.recording));
    return understood;
}

int mark(Job& job, Complaint c) {
    const int ways = (c.finding ? 1 : 0) + (c.ratio ? 1 : 0) + (c.hz ? 1 : 0);
    if (ways == 0) wrong_call("which noise?", "", "a finding's name (f1), --ratio or --hz");
    for (const auto& occasion : c.when) require_known(occasion, occasions, "--when");
    const auto same = [&](const Complaint& o) {
        return o.finding == c.finding && o.ratio == c.ratio && o.hz == c.hz;
    };
    const auto there = std::ranges::find_if(job.complaints, same);
    if (there != job.complaints.end()) {
        c.id = there->id;
        c.unknown = there->unknown;
        *there = std::move(c);
        return there->id;
    }
    c.id = 1;
    for (const auto& o : job.complaints) c.id = std::max(c.id, o.id + 1);
    job.complaints.push_back(std::move(c));
    return job.complaints.back().id;
}

void enter_saw(Job& job, const Layout& layout, Saw saw) {
    if (saw.text.empty()) wrong_call("what was seen?", "", "a few words: \"shiny edge\"");
    require_name(layout, saw.on, "--on");
    job.saw.push_back(std::move(saw));
}

void enter_reading(Job& job, Reading reading) {
    if (reading.what.empty()) wrong_call("what was measured?", "", "a few words: \"idle speed\"");
    if (!std::isfinite(reading.value)) wrong_call("the value is not a number", reading.what);
    if (reading.recording && !job.recording(*reading.recording))
        wrong_call("there is no recording " + in_quotes(*reading.recording), "--recording",
                   "cranknote states lists them");
    job.readings.push_back(std::move(reading));
}

void enter_worked_on(Job& job, const Layout& layout, const std::vector<std::string>& names) {
    for (const auto& name : names) require_name(layout, name, "--worked-on");
    for (const auto& name : names)
        if (std::ranges::find(job.worked_on, name) == job.worked_on.end()) job.worked_on.push_back(name);
}

}  // namespace cranknote::job
