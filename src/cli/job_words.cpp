#include "cli/job_words.hpp"

#include <algorithm>
#include <ostream>

#include "cli/values.hpp"
#include "figure/number_text.hpp"
#include "note/job_json.hpp"
#include "note/words.hpp"

namespace cranknote::cli {
namespace {

constexpr std::size_t most_suspects = 4, most_steps = 4, most_reasons = 4;

bool is_rest(const Suspect& s) { return s.kind == CauseKind::other; }

void print_suspect(std::ostream& out, const Suspect& s, bool reasons) {
    print_line(out, probability_text(s.probability) + " " + s.cause, "  ");
    if (!s.tied_with.empty())
        print_line(out,
                   "not to be told from: " + listed(s.tied_with) +
                       (s.separated_by.empty() ? "" : "; " + s.separated_by + " would"),
                   "    ");
    if (!reasons) return;
    const auto say = [&](const std::vector<std::string>& list, const char* mark) {
        for (std::size_t i = 0; i < std::min(list.size(), most_reasons); ++i)
            print_line(out, mark + list[i], "    ");
    };
    say(s.evidence_for, "+ ");
    say(s.evidence_against, "\u2212 ");
}

std::string state_text(const StateVerdict& v) {
    std::string text = v.state + ": " + verdict_word(v.verdict);
    if (v.level) text += ", " + level_text(*v.level);
    return text;
}

void print_complaint(std::ostream& out, const ComplaintVerdict& c) {
    print_line(out, "");
    auto title = where_text(c.finding) +
                 (c.finding.beat_ratio ? ", swelling at " + ratio_text(*c.finding.beat_ratio) : "");
    print_line(out, "Complaint " + std::to_string(c.id) + " (" + c.finding.id + "): " + title);
    for (std::size_t i = 0; i < c.by_state.size(); ++i) {
        if (i == 0)
            print_line(out, c.by_state[0].state + (c.finding.a ? ": " + level_text(*c.finding.a) : ": heard"),
                       "  ");
        else
            print_line(out, state_text(c.by_state[i]), "  ");
    }
    print_line(out, conclusion_sentence(c.conclusion, c.suspects), "  ");
    std::size_t shown = 0;
    for (const auto& s : c.suspects) {
        if (shown == most_suspects) break;
        print_suspect(out, s, shown == 0 && !is_rest(s));
        ++shown;
    }
}

void print_repair(std::ostream& out, const RepairVerdict& r) {
    print_line(out, "");
    std::string text = "After the repair (" + r.state + "): " + std::string(name_of(r.verdict));
    if (r.left_at_most && r.left_at_most->value() < 0.0)
        text += "; what may be left of it is at least " + level_text(-*r.left_at_most) + " weaker";
    print_line(out, text + ".");
    for (const auto& why : r.why) print_line(out, why, "  ");
    for (const auto& f : r.new_findings) print_line(out, "New: " + finding_title(f), "  ");
}

std::string step_title(const Step& s) {
    const auto kind = std::string(name_of(s.kind));
    const bool says_itself = s.name.starts_with(kind) || s.kind == StepKind::repeat;
    return (says_itself ? "" : kind + ": ") + s.name + ", " + short_number_text(s.minutes, 2) + " min, " +
           number_text(s.expected_bits, 2) + " bit";
}

void print_steps(std::ostream& out, const JobVerdict& v) {
    print_line(out, "");
    print_line(out, v.stop.yes ? "Stop looking. " + v.stop.why : "What next? " + v.stop.why);
    if (v.stop.yes) return;
    for (std::size_t i = 0; i < std::min(v.next_steps.size(), most_steps); ++i) {
        const auto& s = v.next_steps[i];
        print_line(out, std::to_string(i + 1) + ". " + step_title(s), "  ");
        if (!s.requires_.empty()) print_line(out, "first: " + listed(s.requires_), "     ");
        for (const auto& c : s.cautions) print_line(out, "! " + c, "     ");
    }
}

void print_guilty(std::ostream& out, const JobVerdict& v) {
    if (v.complaints.size() < 2 || v.guilty.empty()) return;
    print_line(out, "");
    print_line(out, "Guilty over all complaints, each by itself:");
    std::size_t shown = 0;
    for (const auto& s : v.guilty) {
        if (shown++ == most_suspects) break;
        print_suspect(out, s, false);
    }
}

}  // namespace

void print_suspects(std::ostream& out, const job::Analysis& a) {
    const auto& v = a.verdict;
    if (a.evidence.recordings.empty()) {
        print_line(out, "No recordings yet: cranknote add");
        return;
    }
    std::string states;
    for (const auto& s : a.evidence.states) states += (states.empty() ? "" : ", ") + s.name;
    print_line(out, "States: " + states + ".");
    if (v.complaints.empty()) print_line(out, "Nothing stands out as found.");
    for (const auto& c : v.complaints) print_complaint(out, c);
    print_guilty(out, v);
    if (v.repair) print_repair(out, *v.repair);
    print_steps(out, v);
    if (!a.remarks.empty()) print_line(out, "");
    for (const auto& r : a.remarks) print_line(out, "Look: " + r);
}

}  // namespace cranknote::cli
