// Page one: what the owner reads.
#include <algorithm>

#include "figure/number_text.hpp"
#include "note/note_parts.hpp"
#include "note/suspects_shown.hpp"
#include "note/words.hpp"

namespace cranknote::note_parts {

namespace {

using document::Callout;
using Mark = Callout::Mark;

constexpr std::size_t rows_a_figure = 14;  // states on one figure: a page must hold it
constexpr std::size_t most_changes = 3;    // of a comparison that stands alone
constexpr std::size_t most_steps = 3;

std::string percent_of(const Writing& w, const Suspect& s) {
    return w.say.found(probability_text(s.probability));
}

// The verdict -----------------------------------------------------------------------------------------------

const StateVerdict* verdict_after(const ComplaintVerdict& c, const std::string& state) {
    for (const auto& s : c.by_state)
        if (s.state == state) return &s;
    return nullptr;
}

/// Of several complaints some may be gone and some not: then both are counted.
std::string repair_headline(const NoteData& d, const RepairVerdict& r, const Sentences& say) {
    switch (r.verdict) {
        case RepairOutcome::gone:
            return say(d.complaints.size() > 1 ? Say::repair_gone_all : Say::repair_gone);
        case RepairOutcome::there:
        case RepairOutcome::weaker: {
            const auto gone =
                std::count_if(d.complaints.begin(), d.complaints.end(), [&](const ComplaintVerdict& c) {
                    const auto* s = verdict_after(c, r.state);
                    return s && s->verdict == Verdict::gone;
                });
            if (gone > 0)
                return say(Say::repair_some,
                           {{"gone", std::to_string(gone)}, {"all", std::to_string(d.complaints.size())}});
            return say(r.verdict == RepairOutcome::there ? Say::repair_there : Say::repair_weaker);
        }
        case RepairOutcome::something_new:
            return say(Say::repair_new);
        case RepairOutcome::cannot_tell:
            break;
    }
    return say(Say::repair_cannot);
}

Mark repair_mark(RepairOutcome outcome) {
    switch (outcome) {
        case RepairOutcome::gone:
            return Mark::good;
        case RepairOutcome::there:
        case RepairOutcome::something_new:
            return Mark::bad;
        case RepairOutcome::weaker:
        case RepairOutcome::cannot_tell:
            break;
    }
    return Mark::open;
}

Callout repair_callout(const Writing& w, const RepairVerdict& r) {
    Callout c{repair_mark(r.verdict), repair_headline(w.d, r, w.say), {}};
    if (r.left_at_most && r.left_at_most->value() < 0.0 && r.verdict == RepairOutcome::gone)
        c.sentences.push_back(w.say(Say::repair_left, {{"db", level_text(-*r.left_at_most)}}));
    for (const auto& f : r.new_findings)
        c.sentences.push_back(w.say(Say::repair_new_finding, {{"title", finding_title(f, w.say)}}));
    return c;
}

Callout conclusion_callout(const Writing& w) {
    const auto& d = w.d;
    switch (d.conclusion) {
        case Conclusion::named:
            if (d.guilty.empty()) break;
            return {
                Mark::bad, w.say(Say::headline_named, {{"cause", w.say.found(d.guilty.front().cause)}}), {}};
        case Conclusion::tie:
            return {Mark::open, w.say(Say::headline_tie), {}};
        case Conclusion::nothing_stands_out:
            return {Mark::open, w.say(Say::headline_nothing), {}};
        case Conclusion::open:
            break;
    }
    return {Mark::open, w.say(Say::headline_open), {}};
}

/// The gravest changes of a comparison that stands alone, a sentence each.
void what_changed(const Writing& w, std::vector<std::string>& sentences) {
    std::size_t count = 0;
    for (const auto& f : w.d.comparison->findings) {
        if (!f.flagged || f.expected || count == most_changes) continue;
        ++count;
        if (f.change && f.interval.first && f.interval.second)
            sentences.push_back(
                w.say(Say::finding_with_interval, {{"title", finding_title(f, w.say)},
                                                   {"change", change_text(*f.change)},
                                                   {"low", change_text(*f.interval.first)},
                                                   {"high", change_text(*f.interval.second)}}));
        else
            sentences.push_back(finding_title(f, w.say) + ".");
    }
    if (count == 0) sentences.push_back(w.say(Say::changed_one_line));
}

void verdict(Writing& w) {
    const auto& d = w.d;
    auto callout = d.repair ? repair_callout(w, *d.repair) : conclusion_callout(w);
    if (!d.repair && d.complaints.empty() && d.comparison) {  // two states and nothing else
        if (d.conclusion == Conclusion::tie)
            callout.sentences.push_back(conclusion_sentence(d.conclusion, d.guilty, w.say));
        else if (!d.guilty.empty() && d.guilty.front().kind != CauseKind::other)
            callout.sentences.push_back(
                w.say(Say::cause_probability, {{"cause", capital(w.say.found(d.guilty.front().cause))},
                                               {"percent", percent_of(w, d.guilty.front())}}));
        what_changed(w, callout.sentences);
    }
    if (!d.repair && !d.stop.why.empty()) callout.sentences.push_back(w.say.found(d.stop.why));
    w.add(std::move(callout));
}

// The short of it ------------------------------------------------------------------------------------------

/// The driver's words, what it sounds like, and when it was heard.
std::string complained_of(const Writing& w) {
    std::vector<std::string> lines{w.d.complaint};
    for (const auto& c : w.d.complaints)
        lines.push_back(numbered(w.d, c.id, complaint_words(c.finding, w.say), w.say));
    if (!w.d.conditions.empty()) lines.push_back(w.say(Say::conditions, {{"text", w.d.conditions}}));
    return joined(lines, "\n");
}

/// One complaint's cause with its probability, all of a tie, or that it is open.
std::string cause_words(const Writing& w, Conclusion conclusion, const std::vector<Suspect>& suspects) {
    if (suspects.empty()) return "";
    const auto said = [&](const Suspect& s) {
        return w.say(Say::cause_with_percent,
                     {{"cause", w.say.found(s.cause)}, {"percent", percent_of(w, s)}});
    };
    const auto& first = suspects.front();
    if (conclusion == Conclusion::named) return capital(said(first)) + ".";
    if (conclusion == Conclusion::tie) {
        std::vector<std::string> tied;
        for (const auto* s : tied_group(suspects)) tied.push_back(said(*s));
        return w.say(Say::found_tie, {{"list", listed(tied, w.say)}});
    }
    if (conclusion == Conclusion::nothing_stands_out) return w.say(Say::conclusion_nothing);
    if (first.kind == CauseKind::other) return w.say(Say::conclusion_open);
    return w.say(Say::found_open, {{"cause", said(first)}});
}

std::string what_was_found(const Writing& w) {
    std::vector<std::string> lines;
    for (const auto& c : w.d.complaints)
        lines.push_back(numbered(w.d, c.id, cause_words(w, c.conclusion, c.suspects), w.say));
    for (const auto& s : w.d.saw)
        if (s.speaks_for) lines.push_back(w.say(Say::seen_on, {{"on", s.on}, {"text", s.text}}));
    return joined(lines, "\n");
}

/// Which of several complaints is gone; one alone is in the headline already.
std::string how_it_is_now(const Writing& w) {
    if (!w.d.repair || w.d.complaints.size() < 2) return "";
    std::vector<std::string> lines;
    for (const auto& c : w.d.complaints)
        if (const auto* s = verdict_after(c, w.d.repair->state))
            lines.push_back(numbered(w.d, c.id, capital(verdict_word(s->verdict, w.say)) + ".", w.say));
    return joined(lines, "\n");
}

std::string how_sure(const Writing& w) {
    std::vector<std::string> sentences;
    if (const auto& r = w.d.repair) {
        sentences.push_back(w.say(r->conditions_alike ? Say::repair_alike : Say::repair_unlike));
        for (const auto& why : r->why) sentences.push_back(w.say.found(why));
    }
    if (w.d.comparison && w.d.comparison->spread.measured) sentences.push_back(w.say(Say::sure_measured));
    return joined(sentences, " ");
}

void the_short_of_it(Writing& w) {
    if (w.d.complaint.empty() && w.d.complaints.empty() && w.d.done.empty()) return;
    document::Facts facts;
    facts.wide = true;
    const auto row = [&](Say label, const std::string& text) {
        if (!text.empty()) facts.rows.emplace_back(w.say(label), text);
    };
    row(Say::row_complaint, complained_of(w));
    row(Say::row_worked_on, listed(w.d.worked_on, w.say));
    row(Say::row_found, what_was_found(w));
    row(Say::row_done, capital(joined(w.d.done, "; ")));
    row(Say::row_now, how_it_is_now(w));
    row(Say::row_sure, how_sure(w));
    if (!facts.rows.empty()) w.add(std::move(facts));
}

// What else belongs on the first page -----------------------------------------------------------------------

void listen(Writing& w) {
    if (w.d.clips.empty()) return;
    w.add(document::Sounds{w.d.clips, w.say(Say::heading_listen), w.say(Say::clips_matched),
                           w.say(Say::listen_on_paper)});
}

/// What is still to be done, where the cause is open and nothing was repaired.
void next(Writing& w) {
    const auto& d = w.d;
    if (d.repair || d.stop.yes || d.next_steps.empty()) return;
    w.heading(w.say(Say::heading_next));
    document::Items items;
    for (std::size_t i = 0; i < std::min(most_steps, d.next_steps.size()); ++i) {
        const auto& step = d.next_steps[i];
        const auto name = step.kind == StepKind::refit ? w.say(Say::step_refit, {{"pull", step.name}})
                                                       : capital(check_words(step.name, w.say));
        auto text = w.say(Say::next_step, {{"name", name}, {"minutes", number_text(step.minutes, 0)}});
        for (const auto& caution : step.cautions) text += " " + w.say.found(caution);
        items.items.push_back({std::to_string(i + 1), text});
    }
    w.add(std::move(items));
}

void levels_of(Writing& w, const ComplaintVerdict& c, int& pictures) {
    if (c.by_state.size() < 2) return;
    w.heading(w.d.complaints.size() > 1
                  ? w.say(Say::heading_levels_of, {{"number", std::to_string(c.id)},
                                                   {"what", character_word(c.finding.character, w.say)}})
                  : w.say(Say::heading_levels));
    for (std::size_t from = 0; from < c.by_state.size(); from += rows_a_figure) {
        std::vector<figure::StateLevel> rows;
        for (std::size_t i = from; i < std::min(c.by_state.size(), from + rows_a_figure); ++i) {
            const auto& s = c.by_state[i];
            rows.push_back({s.state, s.level, s.interval, i == 0 && s.level ? Verdict::there : s.verdict});
        }
        w.picture(figure::levels_figure(rows, "", w.captions), "levels-" + std::to_string(++pictures), true);
    }
}

}  // namespace

void for_the_owner(Writing& w) {
    verdict(w);
    the_short_of_it(w);
    next(w);
    listen(w);
    w.list(Say::heading_cautions, w.d.cautions);
    w.list(Say::heading_not_known, w.d.not_known);
}

void levels(Writing& w) {
    int pictures = 0;
    for (const auto& c : w.d.complaints) levels_of(w, c, pictures);
}

}  // namespace cranknote::note_parts
