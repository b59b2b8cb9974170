#include "desk/texts.hpp"

#include <algorithm>
#include <cmath>

#include "desk/reading_draft.hpp"
#include "figure/number_text.hpp"
#include "note/words.hpp"

namespace cranknote::desk {

namespace {

constexpr double worth_showing = 0.02;  // suspects below it are summed up elsewhere
constexpr std::size_t most_suspects = 7;

std::string capital(std::string text) {
    if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
    return text;
}

/// Below this confidence the program asks instead of taking the first reading.
constexpr double sure_of_speed = 0.95;

void ask_for_speed(RecordingText& t, const SpeedReading& speed) {
    if (speed.mean && (speed.confidence >= sure_of_speed || speed.source != SpeedSource::sound)) return;
    t.warned = true;
    if (speed.mean) t.choices.push_back(*speed.mean);
    for (const auto& other : speed.alternatives)
        if (t.choices.size() < 3) t.choices.push_back(other.rpm);
    t.question = t.choices.empty()
                     ? "The crank speed cannot be told from the sound. Read it off and type it when "
                       "you record again."
                     : "Which of these was the crank speed? The sound alone cannot tell for sure.";
}

RecordingText recording_text(const job::Recording& r, const Heard& heard) {
    RecordingText t;
    t.id = r.id;
    if (r.near) t.near = "near the " + *r.near;
    if (!heard.examined) {
        t.pending = heard.trouble.empty();
        t.unusable = !t.pending;
        t.line = r.file.substr(r.file.rfind('/') + 1);
        t.remark = heard.trouble;
        return t;
    }
    const auto& s = heard.examined->summary;
    t.line = s.speed.mean ? rpm_text(*s.speed.mean) : std::string("speed not known");
    const auto length =
        r.to.value_or(s.duration) - r.from.value_or(Seconds{0.0});  // of its stretch of the file
    t.line += ", " + number_text(length.value(), 0) + "\u00a0s";
    ask_for_speed(t, s.speed);
    for (const auto& q : s.quality) {
        if (q.severity == Severity::note) continue;
        if (t.remark.empty() || (q.severity == Severity::unusable && !t.unusable)) t.remark = q.text;
        t.unusable = t.unusable || q.severity == Severity::unusable;
        t.warned = true;
    }
    return t;
}

std::string facts_of(const State& s, const job::State& typed) {
    std::vector<std::string> facts;
    if (!typed.off.empty()) facts.push_back("off: " + listed(typed.off));
    if (!typed.with.empty()) facts.push_back("with " + listed(typed.with));
    if (typed.repaired)
        facts.push_back(typed.repaired_what.empty() ? "set right" : "set right: " + typed.repaired_what);
    if (facts.empty()) facts.push_back(s.repaired ? "set right, all on" : "all on");
    std::string text;
    for (const auto& f : facts) text += (text.empty() ? "" : "; ") + f;
    return text;
}

void add_day(Texts& t, const Scene& scene) {
    for (std::size_t i = 0; i < scene.states.size(); ++i) {
        StateText state{scene.states[i].name, facts_of(scene.states[i], scene.job.states[i]), {}, {}};
        for (std::size_t r = 0; r < scene.job.recordings.size(); ++r)
            if (scene.job.recordings[r].state == state.name)
                state.recordings.push_back(recording_text(scene.job.recordings[r], scene.heard[r]));
        for (const auto& reading : scene.job.readings)
            if (const auto* r = reading.recording ? scene.job.recording(*reading.recording) : nullptr;
                r && r->state == state.name)
                state.readings.push_back(capital(reading_sentence(reading)));
        t.day.push_back(std::move(state));
    }
    for (const auto& reading : scene.job.readings)
        if (!reading.recording) t.readings.push_back(capital(reading_sentence(reading)));
    for (const auto& p : scene.layout.parts) t.near_names.push_back(p.name);
    for (const auto& c : scene.layout.covers) t.near_names.push_back(c.name);
}

/// The list that answers "which part": of the whole job where there is one, else of the pair.
const std::vector<Suspect>* suspects_shown(const Scene& scene) {
    if (scene.verdict()) {
        const auto& v = *scene.verdict();
        if (v.complaints.size() == 1) return &v.complaints.front().suspects;
        if (!v.guilty.empty()) return &v.guilty;
    }
    if (scene.compared && scene.compared->trouble.empty()) return &scene.compared->suspects;
    return nullptr;
}

/// What a part is suspected of is its most probable cause: the number beside it stands in the list as well.
void suspect_of(Texts& t, const std::string& name, double probability) {
    auto& value = t.suspicion[name];
    value = std::max(value, probability);
}

void add_suspects(Texts& t, const Scene& scene) {
    const auto* list = suspects_shown(scene);
    if (!list) return;
    for (const auto& s : *list) {
        if (s.part) {
            suspect_of(t, *s.part, s.probability);
            for (const auto& other : s.also) suspect_of(t, other, s.probability);
        }
        if (s.probability < worth_showing || t.suspects.size() >= most_suspects) continue;
        SuspectText text{capital(s.cause),
                         probability_text(s.probability),
                         s.part.value_or(""),
                         s.probability,
                         s.evidence_for,
                         s.evidence_against,
                         ""};
        if (!s.tied_with.empty()) {
            text.tie = "The sound cannot tell it from: " + listed(s.tied_with) + ".";
            if (!s.separated_by.empty()) text.tie += " Told apart by " + s.separated_by + ".";
        }
        t.suspects.push_back(std::move(text));
    }
}

std::string effort_of(const Step& s) {
    const double minutes = s.minutes, bits = s.expected_bits;
    const std::string time = minutes < 1.5    ? "a minute"
                             : minutes < 90.0 ? number_text(minutes, 0) + " minutes"
                                              : number_text(minutes / 60.0, 1) + " hours";
    const char* worth = bits >= 0.6 ? "tells much" : bits >= 0.25 ? "tells something" : "tells little";
    return time + ", " + worth + " (" + number_text(bits, 2) + " bit)";
}

bool recordable(StepKind kind) { return kind != StepKind::look && kind != StepKind::measure; }

void add_steps(Texts& t, const Scene& scene) {
    if (!scene.verdict()) return;
    for (const auto& s : scene.verdict()->next_steps) {
        const std::string name = s.kind == StepKind::check ? "Check: " + s.name : capital(s.name);
        StepText text{name, effort_of(s), s.cautions, recordable(s.kind)};
        if (!s.requires_.empty()) text.effort += "; first " + listed(s.requires_);
        t.steps.push_back(std::move(text));
    }
}

bool is_complaint(const Scene& scene, const Finding& f) {
    return std::ranges::any_of(scene.job.complaints, [&](const auto& c) {
        if (c.ratio && f.ratio) return std::abs(c.ratio->value() / f.ratio->value() - 1.0) < 0.01;
        if (c.hz) return c.hz->first <= f.high && f.low <= c.hz->second;
        return c.finding == f.id;
    });
}

void add_findings(Texts& t, const Scene& scene) {
    if (!scene.compared) return;
    const auto& c = *scene.compared;
    t.pair_trouble = c.trouble;
    std::vector<std::string> titles;
    for (const auto& f : c.comparison.findings) titles.push_back(finding_title(f));
    for (const auto& f : c.comparison.findings)
        t.findings.push_back({f.id, capital(finding_title(f)), finding_sentences(f, c.a != c.b), f.flagged,
                              f.expected.has_value(), is_complaint(scene, f)});
    // Two findings of one band differ in how often they swell.
    for (std::size_t i = 0; i < t.findings.size(); ++i) {
        const auto alike = std::ranges::count(titles, titles[i]);
        const auto beat = c.comparison.findings[i].beat_ratio;
        if (alike > 1 && beat) t.findings[i].title += ", swelling " + ratio_text(*beat);
    }
    t.pair_remarks = c.comparison.comparable.why;
    t.pair_remarks.insert(t.pair_remarks.end(), c.comparison.remarks.begin(), c.comparison.remarks.end());
}

void add_repair(Texts& t, const Scene& scene) {
    if (!scene.verdict() || !scene.verdict()->repair) return;
    const auto& r = *scene.verdict()->repair;
    switch (r.verdict) {
        case RepairOutcome::gone:
            t.repair.push_back("The noise is gone after the repair.");
            break;
        case RepairOutcome::weaker:
            t.repair.push_back("The noise is weaker after the repair, but still there.");
            break;
        case RepairOutcome::there:
            t.repair.push_back("The noise is still there after the repair.");
            break;
        case RepairOutcome::something_new:
            t.repair.push_back("Something new is heard after the repair.");
            break;
        case RepairOutcome::cannot_tell:
            t.repair.push_back("Whether the repair holds cannot be told yet.");
            break;
    }
    t.repair.insert(t.repair.end(), r.why.begin(), r.why.end());
}

void add_headline(Texts& t, const Scene& scene) {
    const bool any = !scene.job.recordings.empty();
    const auto* list = suspects_shown(scene);
    if (!any) {
        t.headline = "Nothing is recorded yet.";
        t.advice =
            "Record the engine as it came, cold and warm: 20 seconds, the phone laid down a hand's breadth "
            "from the front.";
        return;
    }
    if (scene.states.size() < 2) {
        t.headline = "One state is recorded.";
        t.advice = "Change one thing, say what is off, and record again.";
    }
    if (list && !list->empty()) {
        const auto conclusion = scene.verdict() ? (scene.verdict()->complaints.size() == 1
                                                       ? scene.verdict()->complaints.front().conclusion
                                                       : scene.verdict()->conclusion)
                                                : scene.compared->conclusion;
        t.headline = conclusion_sentence(conclusion, *list);
    } else if (t.headline.empty()) {
        t.headline = "The recordings are being heard.";
    }
    if (!t.repair.empty()) t.headline = t.repair.front();
    if (scene.verdict() && !scene.verdict()->stop.why.empty()) t.advice = scene.verdict()->stop.why;
}

}  // namespace

Texts texts_of(const Scene& scene) {
    Texts t;
    if (!scene.open) return t;
    t.title = scene.job.title.value_or(scene.path.filename().string());
    t.engine = scene.layout.typical ? "a typical front end, everything unknown" : scene.layout.name;
    if (scene.job.vehicle) t.engine = *scene.job.vehicle + ", " + t.engine;
    add_day(t, scene);
    add_suspects(t, scene);
    add_steps(t, scene);
    add_findings(t, scene);
    add_repair(t, scene);
    add_headline(t, scene);
    return t;
}

}  // namespace cranknote::desk
