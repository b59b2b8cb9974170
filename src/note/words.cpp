#include "note/words.hpp"

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

#include "figure/number_text.hpp"
#include "figure/utf8.hpp"
#include "note/suspects_shown.hpp"

namespace cranknote {

namespace {

constexpr double surely = 0.95;        // above this the multiple needs no question
constexpr double worth_a_word = 0.02;  // suspects below it are summed up

/// A text that grows by headings, paragraphs and items.
class Page {
  public:
    explicit Page(std::size_t columns) : columns_(columns) {}

    void heading(const std::string& text) {
        if (!out_.empty()) out_ += '\n';
        add(clean_line(text), "", "");
    }
    void paragraph(const std::string& text) { add(clean_line(text), "", ""); }
    /// `mark` stands in front of the first line, the others are indented as far.
    void item(const std::string& mark, const std::string& text) {
        add(clean_line(text), mark, std::string(columns_of(mark), ' '));
    }
    [[nodiscard]] std::string take() { return std::move(out_); }

  private:
    void add(const std::string& text, const std::string& first, const std::string& next) {
        if (text.empty()) return;
        out_ += wrapped(text, columns_, first, next) + "\n";
    }
    std::size_t columns_;
    std::string out_;
};

std::string level_or_dash(const std::optional<Decibel>& level) {
    return level ? level_text(*level) : not_known;
}

std::string in_time(double share) { return number_text(100.0 * share, 0) + "\u00a0%"; }

/// Only what bears on the result: a comparison's quality remarks, each once with its file.
void add_quality(Page& page, const std::vector<QualityRemark>& quality, const Sentences& say) {
    for (const auto& remark : quality)
        page.item("  ", severity_word(remark.severity, say) + ": " + remark.text);
}

void add_recording(Page& page, const std::string& title, const RecordingSummary& r, const Sentences& say) {
    page.heading(title);
    auto sentences = speed_sentences(r.speed, say);
    for (const auto& s : sentences) page.item("  ", s);
    for (const auto& s : running_sentences(r.speed)) page.item("  ", s);
    page.item("  ", say(Say::used_stretch, {{"from", seconds_text(r.used.first)},
                                            {"to", seconds_text(r.used.second)},
                                            {"length", seconds_text(r.duration)}}));
    add_quality(page, r.quality, say);
}

/// In a comparison a recording's speed is one sentence, unless there is something to ask.
void add_side(Page& page, const std::string& side, const RecordingSummary& r, const Sentences& say) {
    page.heading(say(Say::recording_of, {{"side", capital(side)}, {"file", r.file}}));
    const auto sentences = speed_sentences(r.speed, say);
    const bool sure = r.speed.mean && r.speed.confidence >= surely;
    for (std::size_t i = 0; i < sentences.size(); ++i)
        if (!sure || i == 0) page.item("  ", sentences[i]);
    add_quality(page, r.quality, say);
}

void add_finding(Page& page, std::size_t number, const Finding& f, bool two_sides, const Sentences& say) {
    page.item(std::to_string(number) + ". ", finding_title(f, say));
    for (const auto& s : finding_sentences(f, two_sides, say)) page.item("   ", s);
}

using Findings = std::vector<const Finding*>;

template <class Wanted>
Findings chosen(const std::vector<Finding>& all, std::size_t most, Wanted wanted) {
    Findings list;
    for (const auto& f : all)
        if (list.size() < most && wanted(f)) list.push_back(&f);
    return list;
}

void add_changes(Page& page, const Comparison& c, const SideNames& names, const Wording& w) {
    const auto changed =
        chosen(c.findings, w.most_findings, [](const Finding& f) { return f.flagged && !f.expected; });
    const auto expected =
        chosen(c.findings, w.most_findings, [](const Finding& f) { return f.flagged && f.expected; });
    const auto stayed = chosen(c.findings, 3, [](const Finding& f) {
        return !f.flagged && f.verdict == Verdict::there && !f.explained_by.empty();
    });
    page.heading(w.say(Say::changed_heading, {{"a", names.a}, {"b", names.b}}));
    if (changed.empty()) page.paragraph(w.say(Say::changed_nothing));
    std::size_t number = 0;
    for (const auto* f : changed) add_finding(page, ++number, *f, true, w.say);
    if (!expected.empty()) page.heading(w.say(Say::expected_heading));
    for (const auto* f : expected)
        page.item("\u2013 ", w.say(Say::expected_because, {{"where", where_text(*f)},
                                                           {"verdict", verdict_word(f->verdict, w.say)},
                                                           {"why", *f->expected}}));
    if (!stayed.empty()) page.heading(w.say(Say::still_there_heading));
    for (const auto* f : stayed) add_finding(page, ++number, *f, true, w.say);
}

void add_reasons(Page& page, const std::vector<std::string>& for_it,
                 const std::vector<std::string>& against_it) {
    for (const auto& e : for_it) page.item("      + ", e);
    for (const auto& e : against_it) page.item("      \u2212 ", e);
}

void add_suspect(Page& page, const ShownSuspect& s, const Sentences& say) {
    auto percent = probability_text(s.suspect->probability);
    if (columns_of(percent) < 4) percent.insert(0, 4 - columns_of(percent), ' ');
    page.item(percent + "  ", capital(s.suspect->cause));
    add_reasons(page, s.evidence_for, s.evidence_against);
    if (!s.tied_with.empty()) page.item("      = ", say(Say::tied, {{"list", listed(s.tied_with, say)}}));
}

void add_suspects(Page& page, const std::vector<Suspect>& suspects, const Wording& w) {
    if (suspects.empty()) return;
    page.heading(w.say(Say::suspects_heading));
    const auto shown = shown_suspects(suspects, w.most_suspects, worth_a_word);
    if (!shown.shared_for.empty() || !shown.shared_against.empty()) {
        page.item("      ", shared_title(shown, w.say) + ":");
        add_reasons(page, shown.shared_for, shown.shared_against);
    }
    for (const auto& s : shown.each) add_suspect(page, s, w.say);
    if (shown.rest > 0.0)
        page.paragraph(w.say(Say::suspects_rest, {{"percent", probability_text(std::min(shown.rest, 1.0))}}));
}

void add_limits(Page& page, const Comparison& c, const Sentences& say) {
    page.heading(say(Say::limits_heading));
    const auto& limits = c.comparable;
    if (!limits.hz && !limits.ratio) page.item("\u2013 ", say(Say::not_comparable));
    if (limits.hz)
        page.item("\u2013 ", say(Say::comparable_hz, {{"low", hertz_text(limits.hz->first)},
                                                      {"high", hertz_text(limits.hz->second)}}));
    if (limits.ratio)
        page.item("\u2013 ", say(Say::comparable_ratio, {{"low", ratio_text(limits.ratio->first)},
                                                         {"high", ratio_text(limits.ratio->second)}}));
    for (const auto& why : limits.why) page.item("\u2013 ", why);
    page.item("\u2013 ", say(c.spread.measured ? Say::spread_measured : Say::spread_default,
                             {{"db", level_text(c.spread.db)}}));
    for (const auto& remark : c.remarks) page.item("\u2013 ", remark);
}

}  // namespace

std::string check_words(const std::string& check, const Sentences& say) {
    static constexpr std::array<std::pair<std::string_view, Say>, 10> checks{
        {{"ac-on", Say::check_ac_on},
         {"lock", Say::check_lock},
         {"lamps-on", Say::check_lamps_on},
         {"mist", Say::check_mist},
         {"run-up", Say::check_run_up},
         {"held-speed", Say::check_held_speed},
         {"clutch-down", Say::check_clutch_down},
         {"in-gear", Say::check_in_gear},
         {"cylinder-cut", Say::check_cylinder_cut},
         {"shut-off", Say::check_shut_off}}};
    std::string_view name = check;
    constexpr std::string_view as_computed = "the check ";
    if (name.starts_with(as_computed)) name.remove_prefix(as_computed.size());
    for (const auto& [known, words] : checks)
        if (name == known) return say(words);
    return say.found(check);
}

std::string capital(std::string text) {
    if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
    return text;
}

std::string character_word(Character c, const Sentences& say) {
    switch (c) {
        case Character::tone:
            return say(Say::a_tone);
        case Character::scrape:
            return say(Say::a_scrape);
        case Character::tick:
            return say(Say::a_tick);
        case Character::hiss:
            return say(Say::a_hiss);
    }
    return "";
}

std::string beat_sentence(Ratio beat, const Sentences& say) {
    const double r = beat.value();
    if (r > 0.0 && r < 0.995)
        return say(Say::swells_slow, {{"turns", number_text(1.0 / r, 1)}, {"beat", ratio_text(beat)}});
    return say(Say::swells_fast, {{"times", number_text(r, 2)}, {"beat", ratio_text(beat)}});
}

std::string verdict_word(Verdict verdict, const Sentences& say) {
    switch (verdict) {
        case Verdict::gone:
            return say(Say::gone);
        case Verdict::weaker:
            return say(Say::weaker);
        case Verdict::there:
            return say(Say::there);
        case Verdict::stronger:
            return say(Say::stronger);
        case Verdict::fresh:
            return say(Say::fresh);
        case Verdict::cannot_tell:
            return say(Say::cannot_tell);
    }
    return "";
}

std::string severity_word(Severity s, const Sentences& say) {
    switch (s) {
        case Severity::note:
            return say(Say::quality_note);
        case Severity::warn:
            return say(Say::quality_warn);
        case Severity::unusable:
            return say(Say::quality_unusable);
    }
    return "";
}

std::string where_text(const Finding& f) {
    if (f.ratio && (f.axis == Axis::ratio || f.follows == Follows::crank)) return ratio_text(*f.ratio);
    return hertz_text({f.low, f.high});
}

std::string finding_title(const Finding& f, const Sentences& say) {
    return say(Say::finding_title, {{"where", where_text(f)},
                                    {"what", character_word(f.character, say)},
                                    {"verdict", verdict_word(f.verdict, say)}});
}

std::vector<std::string> finding_sentences(const Finding& f, bool two_sides, const Sentences& say) {
    std::vector<std::string> lines;
    if (two_sides && f.change && f.interval.first && f.interval.second)
        lines.push_back(say(Say::change_with_interval, {{"change", change_text(*f.change)},
                                                        {"low", change_text(*f.interval.first)},
                                                        {"high", change_text(*f.interval.second)}}));
    else if (two_sides && (f.a || f.b))
        lines.push_back(say(Say::level_before_after, {{"a", level_or_dash(f.a)}, {"b", level_or_dash(f.b)}}));
    else if (f.a)
        lines.push_back(say(Say::level_of, {{"level", level_text(*f.a)}}));
    if (f.beat_ratio) lines.push_back(beat_sentence(*f.beat_ratio, say));
    if (f.follows == Follows::crank) lines.push_back(say(Say::follows_crank));
    if (f.follows == Follows::fixed) lines.push_back(say(Say::follows_fixed));
    if (f.follows == Follows::free) lines.push_back(say(Say::follows_free));
    if (std::min(f.presence[0], two_sides ? f.presence[1] : 1.0) < 0.95)
        lines.push_back(say(two_sides ? Say::presence_before_after : Say::presence_one,
                            {{"a", in_time(f.presence[0])}, {"b", in_time(f.presence[1])}}));
    // Several causes of one part share a line: it is said once.
    std::vector<std::string> fits;
    for (const auto& e : f.explained_by) {
        auto line =
            say(Say::fits, {{"part", e.part}, {"line", e.line}, {"ratio", ratio_text(e.expected_ratio)}});
        if (fits.size() < 3 && std::find(fits.begin(), fits.end(), line) == fits.end())
            fits.push_back(std::move(line));
    }
    lines.insert(lines.end(), fits.begin(), fits.end());
    if (f.explained_by.empty()) lines.push_back(say(Say::fits_nothing));
    return lines;
}

std::string conclusion_sentence(Conclusion conclusion, const std::vector<Suspect>& suspects,
                                const Sentences& say) {
    const auto* first = suspects.empty() ? nullptr : &suspects.front();
    if (conclusion == Conclusion::nothing_stands_out) return say(Say::conclusion_nothing);
    if (conclusion == Conclusion::open || !first) return say(Say::conclusion_open);
    if (conclusion == Conclusion::named)
        return say(Say::conclusion_named,
                   {{"cause", first->cause}, {"percent", probability_text(first->probability)}});
    std::vector<std::string> tied{first->cause};
    tied.insert(tied.end(), first->tied_with.begin(), first->tied_with.end());
    return say(Say::conclusion_tie, {{"list", listed(tied, say)}});
}

std::string words_for(const RecordingSummary& recording, const Wording& w) {
    Page page(w.columns);
    add_recording(page, recording.file, recording, w.say);
    return page.take();
}

std::string words_for(const RecordingSummary& recording, const std::vector<Finding>& findings,
                      const Wording& w) {
    Page page(w.columns);
    add_recording(page, recording.file, recording, w.say);
    page.heading(w.say(Say::stands_out_heading));
    if (findings.empty()) page.paragraph(w.say(Say::stands_out_nothing));
    for (std::size_t i = 0; i < std::min(findings.size(), w.most_findings); ++i)
        add_finding(page, i + 1, findings[i], false, w.say);
    return page.take();
}

std::string words_for(const Comparison& c, const std::vector<Suspect>& suspects, Conclusion conclusion,
                      const SideNames& names, const Wording& w) {
    Page page(w.columns);
    page.paragraph(conclusion_sentence(conclusion, suspects, w.say));
    add_changes(page, c, names, w);
    add_suspects(page, suspects, w);
    for (const auto& r : c.a) add_side(page, names.a, r, w.say);
    for (const auto& r : c.b) add_side(page, names.b, r, w.say);
    add_limits(page, c, w.say);
    return page.take();
}

std::string words_for(const std::vector<Suspect>& suspects, const Wording& w) {
    Page page(w.columns);
    add_suspects(page, suspects, w);
    return page.take();
}

}  // namespace cranknote
