// What a colleague reads: the recordings, the comparisons, the suspects.
#include <algorithm>

#include "figure/number_text.hpp"
#include "note/note_parts.hpp"
#include "note/suspects_shown.hpp"
#include "note/words.hpp"

namespace cranknote::note_parts {

namespace {

constexpr std::size_t most_findings = 12;
constexpr std::size_t most_suspects = 5;
constexpr double least_probability = 0.02;
constexpr double surely = 0.95;  // of a speed: above it there is nothing to ask

using document::Paragraph;
using document::Table;

// The recordings --------------------------------------------------------------------------------------------

std::string what_is_set(const Writing& w, const State& s) {
    auto parts = s.off;
    for (const auto& check : s.with)
        parts.push_back(w.say(Say::with_word, {{"what", check_words(check, w.say)}}));
    if (s.repaired)
        parts.push_back(s.repaired_what.empty() ? w.say(Say::repaired_word)
                                                : w.say(Say::repaired_what, {{"what", s.repaired_what}}));
    return parts.empty() ? std::string(not_known) : joined(parts, ", ");
}

/// Of a job's long table only what bears on the result; of two recordings everything.
bool in_full(const Writing& w) { return w.d.complaints.empty(); }

/// The file, the stretch of it that was used, and what is to be known of it.
std::string usability(const Writing& w, const RecordingSummary& r) {
    std::vector<std::string> remarks;
    for (const auto& q : r.quality) {
        const auto text = w.say.found(q.text);
        if (in_full(w))
            remarks.push_back(severity_word(q.severity, w.say) + ": " + text);
        else if (q.severity != Severity::note)
            remarks.push_back(text);
    }
    const auto used = r.file + ", " + seconds_text(r.used.second - r.used.first);
    if (remarks.empty()) return used + ": " + w.say(Say::usable);
    return used + (in_full(w) ? ".\n" : ": ") + joined(remarks, in_full(w) ? "\n" : " ");
}

std::string speed_cell(const Writing& w, const SpeedReading& speed) {
    if (!speed.mean) return not_known;
    auto cell = number_text(speed.mean->value(), 1) + "\u00a0rpm";
    if (!in_full(w)) return cell;
    cell += "\n" + w.say(Say::speed_of_side, {{"low", number_text(speed.interval.first.value(), 1)},
                                              {"high", number_text(speed.interval.second.value(), 1)}});
    for (const auto& other : speed.alternatives)
        if (speed.confidence < surely && other.confidence >= least_probability)
            cell +=
                "\n? " + rpm_text(other.rpm) + " (" + w.say.found(probability_text(other.confidence)) + ")";
    return cell;
}

void states(Writing& w) {
    if (w.d.states.empty()) return;
    w.heading(w.say(in_full(w) ? Say::states_of_pair : Say::heading_states));
    Table table{{{w.say(Say::col_state), false, 1.5},
                 {w.say(Say::col_off), false, 1.3},
                 {w.say(Say::col_speed), true, 1.0},
                 {w.say(Say::col_usable), false, 2.2}},
                {}};
    for (const auto& s : w.d.states) {
        std::vector<std::string> speeds, uses;
        for (const auto& r : s.recordings) {
            speeds.push_back(speed_cell(w, r.speed));
            uses.push_back(usability(w, r));
        }
        const auto conditions = s.conditions == s.state.name ? "" : s.conditions;
        table.rows.push_back({joined({s.state.name, conditions, s.when}, "\n"), what_is_set(w, s.state),
                              joined(speeds, "\n"), joined(uses, "\n")});
    }
    w.add(std::move(table));
}

// A comparison ----------------------------------------------------------------------------------------------

std::vector<std::string> finding_row(const Writing& w, const Finding& f) {
    std::string change = f.change ? change_text(*f.change) : std::string(not_known);
    if (f.interval.first && f.interval.second)
        change += "\n" + signed_text(f.interval.first->value(), 1) + " \u2026 " +
                  signed_text(f.interval.second->value(), 1);
    std::string fits;
    if (f.expected)
        fits = w.say.found(*f.expected);
    else if (!f.explained_by.empty())
        fits = f.explained_by.front().part + ": " + w.say.found(f.explained_by.front().line) + ", " +
               ratio_text(f.explained_by.front().expected_ratio);
    else
        fits = w.say(Say::fits_nothing);
    std::string where = where_text(f) + ", " + character_word(f.character, w.say);
    if (f.beat_ratio) where += "\n" + w.say(Say::beat_short, {{"beat", ratio_text(*f.beat_ratio)}});
    return {where, verdict_word(f.verdict, w.say), change, fits};
}

void findings(Writing& w, const std::vector<Finding>& all) {
    Table table{{{w.say(Say::col_where), false, 1.9},
                 {w.say(Say::col_verdict), false, 0.9},
                 {w.say(Say::col_change), true, 1.3},
                 {w.say(Say::col_fits), false, 2.4}},
                {}};
    std::size_t left_out = 0;
    for (const auto& f : all) {
        if (!f.flagged) continue;
        if (table.rows.size() < most_findings)
            table.rows.push_back(finding_row(w, f));
        else
            ++left_out;
    }
    if (table.rows.empty())
        w.add(Paragraph{w.say(Say::changed_nothing)});
    else
        w.add(std::move(table));
    if (left_out > 0)
        w.add(Paragraph{w.say(Say::more_findings, {{"count", std::to_string(left_out)}}),
                        Paragraph::Tone::faint});
}

/// What limits the comparison, in one paragraph; `said` holds what an earlier one has said already.
void limits(Writing& w, const Comparison& c, std::vector<std::string>& said) {
    std::vector<std::string> sentences;
    const auto add = [&](const std::string& text) {
        if (std::find(said.begin(), said.end(), text) != said.end()) return;
        said.push_back(text);
        sentences.push_back(text);
    };
    for (const auto& why : c.comparable.why) add(w.say.found(why));
    add(w.say(c.spread.measured ? Say::spread_measured : Say::spread_default,
              {{"db", level_text(c.spread.db)}}));
    for (const auto& remark : c.remarks) add(w.say.found(remark));
    if (!sentences.empty()) w.add(Paragraph{joined(sentences, " "), Paragraph::Tone::faint});
}

void pair(Writing& w, const Comparison& c, const std::string& a, const std::string& b,
          const std::string& name, std::vector<std::string>& said) {
    w.heading(w.say(Say::heading_pair, {{"a", capital(a)}, {"b", b}}));
    figure::ComparisonView view;
    view.a = a;
    view.b = b;
    view.words = w.captions;
    w.picture(figure::comparison_figure(c, view), name, false);
    findings(w, c.findings);
    limits(w, c, said);
}

void pairs(Writing& w) {
    std::vector<std::string> said;
    const auto& d = w.d;
    if (d.comparison) pair(w, *d.comparison, d.side_a, d.side_b, "comparison", said);
    if (d.repair && d.repair_comparison)
        pair(w, *d.repair_comparison, d.side_a.empty() ? w.say(Say::as_found) : d.side_a, d.repair->state,
             "repair", said);
}

// Suspects --------------------------------------------------------------------------------------------------

void add_reasons(document::Items& items, const Writing& w, const std::vector<std::string>& for_it,
                 const std::vector<std::string>& against_it) {
    for (const auto& e : for_it) items.items.push_back({"+", w.say.found(e)});
    for (const auto& e : against_it) items.items.push_back({"\u2212", w.say.found(e)});
}

void suspects_of(Writing& w, const std::vector<Suspect>& suspects, const std::string& of_what) {
    if (suspects.empty()) return;
    if (!of_what.empty()) w.add(document::Heading{of_what, true});
    const auto shown = shown_suspects(suspects, most_suspects, least_probability);
    if (!shown.shared_for.empty() || !shown.shared_against.empty()) {
        document::Entry shared{"", capital(shared_title(shown, w.say)), {}};
        add_reasons(shared.items, w, shown.shared_for, shown.shared_against);
        w.add(std::move(shared));
    }
    for (const auto& s : shown.each) {
        document::Entry entry{w.say.found(probability_text(s.suspect->probability)),
                              capital(w.say.found(s.suspect->cause)),
                              {}};
        add_reasons(entry.items, w, s.evidence_for, s.evidence_against);
        if (!s.tied_with.empty()) {
            std::vector<std::string> names;
            for (const auto& cause : s.tied_with) names.push_back(w.say.found(cause));
            entry.items.items.push_back({"=", w.say(Say::tied, {{"list", listed(names, w.say)}})});
        }
        w.add(std::move(entry));
    }
    if (shown.rest >= least_probability)
        w.add(Paragraph{w.say(Say::suspects_rest, {{"percent", probability_text(std::min(shown.rest, 1.0))}}),
                        Paragraph::Tone::faint});
}

void suspects(Writing& w) {
    const auto& complaints = w.d.complaints;
    const bool any = complaints.empty() ? !w.d.guilty.empty()
                                        : std::any_of(complaints.begin(), complaints.end(),
                                                      [](const auto& c) { return !c.suspects.empty(); });
    if (!any) return;
    w.heading(w.say(Say::heading_suspects));
    if (complaints.empty()) suspects_of(w, w.d.guilty, "");
    for (const auto& c : complaints)
        suspects_of(
            w, c.suspects,
            complaints.size() > 1 ? numbered(w.d, c.id, complaint_words(c.finding, w.say), w.say) : "");
}

}  // namespace

void evidence(Writing& w) {
    states(w);
    pairs(w);
    suspects(w);
}

}  // namespace cranknote::note_parts
