// A note's data to its blocks. Nothing is computed here but what is shown and in which order.
#include "note/note.hpp"

#include <algorithm>
#include <cmath>

#include "figure/number_text.hpp"
#include "note/words.hpp"

namespace cranknote {

namespace {

using namespace document;

constexpr std::size_t rows_a_figure = 14;  // states on one figure: a page must hold it
constexpr std::size_t most_findings = 12;
constexpr std::size_t most_suspects = 5;

std::string capital(std::string text) {
    if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
    return text;
}

std::string joined(const std::vector<std::string>& items, const std::string& between) {
    std::string out;
    for (const auto& item : items)
        if (!item.empty()) out += (out.empty() ? "" : between) + item;
    return out;
}

class Writer {
  public:
    Writer(const NoteData& data, const NoteSettings& settings)
        : d_(data), say_(settings.say), system_(settings.system), captions_(captions_of(settings.say)) {}

    Document write() {
        frame();
        verdict();
        complaint();
        listen();
        list(Say::heading_done, d_.done);
        list(Say::heading_cautions, d_.cautions);
        list(Say::heading_not_known, d_.not_known);
        next();
        states();
        pairs();
        suspects();
        readings();
        seen();
        engine();
        method();
        return std::move(out_);
    }

  private:
    template <class T>
    void add(T block) {
        out_.blocks.push_back(std::move(block));
    }
    void picture(figure::Figure f, const std::string& name, bool in_text = true,
                 double most_height = 420.0) {  // half a page
        f.margin = 0.0;                         // its edges are the text's
        f.most_height = std::min(f.most_height, most_height);
        add(Picture{std::move(f), "", in_text, name});
    }
    void heading(const std::string& text) { add(Heading{text}); }

    void frame() {
        out_.title = d_.kind.empty() ? say_(Say::note_title) : d_.kind;
        out_.subtitle = d_.title;
        out_.author = joined({d_.by, d_.shop}, ", ");
        out_.subject = d_.title;
        out_.created = d_.created;
        out_.footer = joined({out_.title, d_.title, d_.date}, " \u00b7 ");
        out_.page_of = say_(Say::page_of);
        auto facts = d_.facts;
        const auto fact = [&](Say label, const std::string& value) {
            if (!value.empty()) facts.emplace_back(say_(label), value);
        };
        fact(Say::fact_date, d_.date);
        fact(Say::fact_by, d_.by);
        fact(Say::fact_shop, d_.shop);
        if (d_.invented) add(Paragraph{say_(Say::note_invented), Paragraph::Tone::faint});
        if (!facts.empty()) add(Facts{std::move(facts)});
    }

    // What the owner reads ----------------------------------------------------------------------------------

    [[nodiscard]] document::Callout repair_callout(const RepairVerdict& r) const {
        using Mark = document::Callout::Mark;
        document::Callout c;
        switch (r.verdict) {
            case RepairOutcome::gone:
                c = {Mark::good, say_(Say::repair_gone), {}};
                break;
            case RepairOutcome::weaker:
                c = {Mark::open, say_(Say::repair_weaker), {}};
                break;
            case RepairOutcome::there:
                c = {Mark::bad, say_(Say::repair_there), {}};
                break;
            case RepairOutcome::something_new:
                c = {Mark::bad, say_(Say::repair_new), {}};
                break;
            case RepairOutcome::cannot_tell:
                c = {Mark::open, say_(Say::repair_cannot), {}};
                break;
        }
        if (r.left_at_most && r.left_at_most->value() < 0.0 && r.verdict == RepairOutcome::gone)
            c.sentences.push_back(say_(Say::repair_left, {{"db", level_text(-*r.left_at_most)}}));
        return c;
    }

    [[nodiscard]] document::Callout conclusion_callout() const {
        using Mark = document::Callout::Mark;
        switch (d_.conclusion) {
            case Conclusion::named:
                if (d_.guilty.empty()) break;
                return {Mark::bad, say_(Say::headline_named, {{"cause", d_.guilty.front().cause}}), {}};
            case Conclusion::tie:
                return {Mark::open,
                        say_(Say::headline_tie),
                        {conclusion_sentence(d_.conclusion, d_.guilty, say_)}};
            case Conclusion::nothing_stands_out:
                return {Mark::open, say_(Say::headline_nothing), {}};
            case Conclusion::open:
                break;
        }
        return {Mark::open, say_(Say::headline_open), {}};
    }

    void verdict() {
        auto callout = d_.repair ? repair_callout(*d_.repair) : conclusion_callout();
        for (std::size_t i = 0; i < std::min<std::size_t>(2, d_.guilty.size()); ++i) {
            const auto& s = d_.guilty[i];
            if (s.kind == CauseKind::other || (i > 0 && s.probability < 0.5)) continue;
            callout.sentences.push_back(
                say_(Say::cause_probability,
                     {{"cause", capital(s.cause)}, {"percent", probability_text(s.probability)}}));
        }
        if (d_.complaints.empty()) what_changed(callout.sentences);
        if (!d_.repair && !d_.stop.why.empty()) callout.sentences.push_back(d_.stop.why);
        if (!d_.done.empty() && d_.repair)
            callout.sentences.push_back(say_(Say::done_sentence, {{"list", joined(d_.done, "; ")}}));
        if (d_.repair) {
            callout.sentences.push_back(
                say_(d_.repair->conditions_alike ? Say::repair_alike : Say::repair_unlike));
            callout.sentences.insert(callout.sentences.end(), d_.repair->why.begin(), d_.repair->why.end());
            for (const auto& f : d_.repair->new_findings)
                callout.sentences.push_back(
                    say_(Say::repair_new_finding, {{"title", finding_title(f, say_)}}));
        }
        add(std::move(callout));
    }

    /// The gravest changes of a comparison that stands alone, a sentence each.
    void what_changed(std::vector<std::string>& sentences) const {
        if (!d_.comparison) return;
        std::size_t count = 0;
        for (const auto& f : d_.comparison->findings) {
            if (!f.flagged || f.expected || count == 3) continue;
            ++count;
            if (f.change && f.interval.first && f.interval.second)
                sentences.push_back(
                    say_(Say::finding_with_interval, {{"title", finding_title(f, say_)},
                                                      {"change", change_text(*f.change)},
                                                      {"low", change_text(*f.interval.first)},
                                                      {"high", change_text(*f.interval.second)}}));
            else
                sentences.push_back(finding_title(f, say_) + ".");
        }
        if (count == 0) sentences.push_back(say_(Say::changed_one_line));
    }

    void complaint() {
        std::vector<Paragraph> paragraphs;
        if (!d_.complaint.empty()) paragraphs.push_back({d_.complaint, Paragraph::Tone::lead});
        if (!d_.conditions.empty())
            paragraphs.push_back({say_(Say::conditions, {{"text", d_.conditions}}), Paragraph::Tone::normal});
        if (!d_.worked_on.empty())
            paragraphs.push_back(
                {say_(Say::worked_on, {{"list", listed(d_.worked_on, say_)}}), Paragraph::Tone::normal});
        if (!paragraphs.empty()) heading(say_(Say::heading_complaint));
        for (auto& p : paragraphs) add(std::move(p));
        int pictures = 0;
        for (const auto& c : d_.complaints) levels(c, pictures);
    }

    /// Where the complaint is and what it is like, without a verdict: that is for each state.
    [[nodiscard]] std::string complaint_words(const Finding& f) const {
        auto words = where_text(f) + ", " + character_word(f.character, say_) + ".";
        if (f.beat_ratio) words += " " + beat_sentence(*f.beat_ratio, say_);
        return capital(words);
    }

    void levels(const ComplaintVerdict& c, int& pictures) {
        if (c.by_state.size() < 2) return;
        heading(d_.complaints.size() > 1 ? say_(Say::heading_levels_of, {{"number", std::to_string(c.id)}})
                                         : say_(Say::heading_levels));
        add(Paragraph{complaint_words(c.finding), Paragraph::Tone::normal});
        for (std::size_t from = 0; from < c.by_state.size(); from += rows_a_figure) {
            std::vector<figure::StateLevel> rows;
            for (std::size_t i = from; i < std::min(c.by_state.size(), from + rows_a_figure); ++i) {
                const auto& s = c.by_state[i];
                rows.push_back(
                    {s.state, s.level, s.interval, i == 0 && s.level ? Verdict::there : s.verdict});
            }
            picture(figure::levels_figure(rows, "", captions_), "levels-" + std::to_string(++pictures));
        }
    }

    void listen() {
        if (d_.clips.empty()) return;
        heading(say_(Say::heading_listen));
        add(Sounds{d_.clips, say_(Say::clips_matched), say_(Say::listen_on_paper)});
    }

    void list(Say title, const std::vector<std::string>& texts) {
        if (texts.empty()) return;
        heading(say_(title));
        Items items;
        for (const auto& text : texts) items.items.push_back({"\u2022", text});
        add(std::move(items));
    }

    // What a colleague reads --------------------------------------------------------------------------------

    [[nodiscard]] std::string what_is_set(const State& s) const {
        auto parts = s.off;
        for (const auto& check : s.with) parts.push_back(say_(Say::with_word, {{"what", check}}));
        if (s.repaired)
            parts.push_back(s.repaired_what.empty() ? say_(Say::repaired_word)
                                                    : say_(Say::repaired_what, {{"what", s.repaired_what}}));
        return parts.empty() ? std::string(not_known) : joined(parts, ", ");
    }

    /// The file, the stretch of it that was used, and what is to be known of it; remarks in full for two
    /// recordings, in a job's long table only what bears on the result.
    [[nodiscard]] std::string usability(const RecordingSummary& r) const {
        std::vector<std::string> remarks;
        const bool in_full = d_.complaints.empty();
        for (const auto& q : r.quality)
            if (in_full || q.severity != Severity::note)
                remarks.push_back(in_full ? severity_word(q.severity, say_) + ": " + q.text : q.text);
        const auto used = r.file + ", " + seconds_text(r.used.second - r.used.first);
        if (remarks.empty()) return used + ": " + say_(Say::usable);
        return used + (in_full ? ".\n" : ": ") + joined(remarks, in_full ? "\n" : " ");
    }

    [[nodiscard]] std::string speed_cell(const SpeedReading& speed) const {
        if (!speed.mean) return not_known;
        auto cell = number_text(speed.mean->value(), 1) + "\u00a0rpm";
        if (!d_.complaints.empty()) return cell;
        cell += "\n" + say_(Say::speed_of_side, {{"low", number_text(speed.interval.first.value(), 1)},
                                                 {"high", number_text(speed.interval.second.value(), 1)}});
        for (const auto& other : speed.alternatives)
            if (speed.confidence < 0.95 && other.confidence >= 0.02)
                cell += "\n? " + rpm_text(other.rpm) + " (" + probability_text(other.confidence) + ")";
        return cell;
    }

    void states() {
        if (d_.states.empty()) return;
        heading(say_(d_.complaints.empty() ? Say::states_of_pair : Say::heading_states));
        Table table{{{say_(Say::col_state), false, 1.3},
                     {say_(Say::col_off), false, 1.4},
                     {say_(Say::col_speed), true, 0.9},
                     {say_(Say::col_usable), false, 2.2}},
                    {}};
        for (const auto& s : d_.states) {
            std::vector<std::string> speeds, uses;
            for (const auto& r : s.recordings) {
                speeds.push_back(speed_cell(r.speed));
                uses.push_back(usability(r));
            }
            table.rows.push_back({joined({s.state.name, s.conditions, s.when}, "\n"), what_is_set(s.state),
                                  joined(speeds, "\n"), joined(uses, "\n")});
        }
        add(std::move(table));
    }

    /// What is still to be done, where the cause is open and nothing was repaired.
    void next() {
        if (d_.repair || d_.stop.yes || d_.next_steps.empty()) return;
        heading(say_(Say::heading_next));
        Items items;
        for (std::size_t i = 0; i < std::min<std::size_t>(3, d_.next_steps.size()); ++i) {
            const auto& step = d_.next_steps[i];
            auto text = say_(Say::next_step,
                             {{"name", capital(step.name)}, {"minutes", number_text(step.minutes, 0)}});
            for (const auto& caution : step.cautions) text += " " + caution;
            items.items.push_back({std::to_string(i + 1), text});
        }
        add(std::move(items));
    }

    void pairs() {
        if (d_.comparison) pair(*d_.comparison, d_.side_a, d_.side_b, "comparison");
        if (d_.repair && d_.repair_comparison)
            pair(*d_.repair_comparison, say_(Say::as_found), d_.repair->state, "repair");
    }

    void pair(const Comparison& c, const std::string& a, const std::string& b, const std::string& name) {
        heading(say_(Say::heading_pair, {{"a", capital(a)}, {"b", b}}));
        figure::ComparisonView view;
        view.a = a;
        view.b = b;
        view.words = captions_;
        picture(figure::comparison_figure(c, view), name, false);
        Table table{{{say_(Say::col_where), false, 2.0},
                     {say_(Say::col_verdict), false, 0.9},
                     {say_(Say::col_change), true, 1.3},
                     {say_(Say::col_fits), false, 2.4}},
                    {}};
        for (const auto& f : c.findings)
            if (f.flagged && table.rows.size() < most_findings) table.rows.push_back(finding_row(f));
        if (table.rows.empty())
            add(Paragraph{say_(Say::changed_nothing)});
        else
            add(std::move(table));
        for (const auto& why : c.comparable.why) add(Paragraph{why, Paragraph::Tone::faint});
        add(Paragraph{say_(c.spread.measured ? Say::spread_measured : Say::spread_default,
                           {{"db", level_text(c.spread.db)}}),
                      Paragraph::Tone::faint});
        for (const auto& remark : c.remarks) add(Paragraph{remark, Paragraph::Tone::faint});
    }

    [[nodiscard]] std::vector<std::string> finding_row(const Finding& f) const {
        std::string change = f.change ? change_text(*f.change) : std::string(not_known);
        if (f.interval.first && f.interval.second)
            change += "\n" + signed_text(f.interval.first->value(), 1) + " \u2026 " +
                      signed_text(f.interval.second->value(), 1);
        std::string fits;
        if (f.expected)
            fits = *f.expected;
        else if (!f.explained_by.empty())
            fits = f.explained_by.front().part + ": " + f.explained_by.front().line + ", " +
                   ratio_text(f.explained_by.front().expected_ratio);
        else
            fits = say_(Say::fits_nothing);
        std::string where = where_text(f) + ", " + character_word(f.character, say_);
        if (f.beat_ratio) where += "\n" + say_(Say::beat_short, {{"beat", ratio_text(*f.beat_ratio)}});
        return {where, verdict_word(f.verdict, say_), change, fits};
    }

    void suspects() {
        if (d_.complaints.size() > 1)
            for (const auto& c : d_.complaints) suspects_of(c.suspects, finding_title(c.finding, say_));
        else
            suspects_of(d_.complaints.empty() ? d_.guilty : d_.complaints.front().suspects, "");
    }

    void suspects_of(const std::vector<Suspect>& suspects, const std::string& of_what) {
        if (suspects.empty()) return;
        heading(say_(Say::heading_suspects));
        if (!of_what.empty()) add(Paragraph{of_what});
        for (std::size_t i = 0; i < std::min(most_suspects, suspects.size()); ++i) {
            const auto& s = suspects[i];
            if (i > 0 && s.probability < 0.02) break;
            Entry entry{probability_text(s.probability), capital(s.cause), {}};
            for (const auto& e : s.evidence_for) entry.items.items.push_back({"+", e});
            for (const auto& e : s.evidence_against) entry.items.items.push_back({"\u2212", e});
            if (!s.tied_with.empty())
                entry.items.items.push_back({"=", say_(Say::tied, {{"list", listed(s.tied_with, say_)}})});
            add(std::move(entry));
        }
    }

    void readings() {
        if (d_.readings.empty()) return;
        heading(say_(Say::heading_readings));
        Table table{{{say_(Say::col_reading), false, 2.0},
                     {say_(Say::col_value), true, 1.0},
                     {say_(Say::col_target), true, 1.4, true},
                     {say_(Say::col_when), false, 1.4}},
                    {}};
        for (const auto& r : d_.readings)
            table.rows.push_back({r.what, value_text(r), target_text(r), r.when});
        add(std::move(table));
    }

    [[nodiscard]] std::string value_text(const NoteReading& r) const {
        if (!r.value) return not_known;
        const auto v = shown(*r.value, r.unit, system_);
        return number_text(v.value, v.decimals) + (v.unit.empty() ? "" : "\u00a0" + v.unit);
    }

    [[nodiscard]] std::string target_text(const NoteReading& r) const {
        if (!r.target) return not_known;
        const auto target = shown(*r.target, r.unit, system_);
        std::string text = number_text(target.value, target.decimals);
        if (r.tolerance) {
            const auto limit = shown(*r.tolerance, r.unit, system_, true);
            text +=
                "\u00a0\u00b1\u00a0" + number_text(limit.value, std::max(limit.decimals, target.decimals));
        }
        if (!target.unit.empty()) text += "\u00a0" + target.unit;
        if (r.value && r.tolerance)
            text += ": " +
                    say_(std::abs(*r.value - *r.target) <= *r.tolerance ? Say::on_target : Say::off_target);
        return text;
    }

    void seen() {
        if (d_.saw.empty()) return;
        heading(say_(Say::heading_seen));
        Items items;
        for (const auto& s : d_.saw)
            items.items.push_back(
                {s.speaks_for ? "+" : "\u2212",
                 say_(s.speaks_for ? Say::seen_for : Say::seen_against, {{"on", s.on}, {"text", s.text}})});
        add(std::move(items));
    }

    void engine() {
        if (!d_.layout) return;
        heading(say_(Say::heading_engine));
        figure::EngineView view;
        view.words = captions_;
        view.lift = 1.0;
        for (const auto& s : d_.guilty) {
            if (s.part) raise(view.suspicion, *s.part, s.probability);
            for (const auto& name : s.also) raise(view.suspicion, name, s.probability);
        }
        if (const auto* telling = telling_state()) {
            view.off = expand_off_names(telling->off);
            view.still = {telling->still.begin(), telling->still.end()};
        }
        picture(figure::engine_figure(*d_.layout, view), "engine", false, 350.0);
    }

    static void raise(std::map<std::string, double>& map, const std::string& name, double p) {
        map[name] = std::max(map[name], p);
    }

    /// The state of the comparison's second side, or the last with something off.
    [[nodiscard]] const State* telling_state() const {
        const State* found = nullptr;
        for (const auto& s : d_.states) {
            if (s.state.name == d_.side_b) return &s.state;
            if (!s.state.off.empty()) found = &s.state;
        }
        return found;
    }

    /// Pulls as the things that come off; unknown names are left out.
    [[nodiscard]] std::set<std::string> expand_off_names(const std::vector<std::string>& off) const {
        std::set<std::string> names;
        for (const auto& name : off) {
            names.insert(name);
            if (const auto* pull = d_.layout->pull(name)) names.insert(pull->off.begin(), pull->off.end());
        }
        return names;
    }

    void method() {
        SmallPrint print;
        print.lines = {say_(Say::about_levels), say_(Say::about_ratio)};
        print.lines.insert(print.lines.end(), d_.settings.begin(), d_.settings.end());
        for (const auto& s : d_.sources)
            print.lines.push_back(say_(Say::source_hash, {{"file", s.file}, {"hash", s.sha256}}));
        if (!d_.program.empty()) print.lines.push_back(say_(Say::made_with, {{"program", d_.program}}));
        heading(say_(Say::heading_method));
        add(std::move(print));
    }

    const NoteData& d_;
    const Sentences& say_;
    System system_;
    figure::Captions captions_;
    Document out_;
};

}  // namespace

Document note_document(const NoteData& data, const NoteSettings& settings) {
    return Writer(data, settings).write();
}

NoteData note_of_pair(const Comparison& comparison, const std::vector<Suspect>& suspects,
                      Conclusion conclusion, const Layout* layout, const State& a, const State& b,
                      const Sentences& say) {
    NoteData d;
    d.kind = say(Say::pair_title);
    d.side_a = a.name;
    d.side_b = b.name;
    d.comparison = comparison;
    d.guilty = suspects;
    d.conclusion = conclusion;
    if (layout) {
        d.layout = *layout;
        d.title = layout->name;
        for (const auto& state : {a, b})
            for (const auto& name : state.off)
                if (const auto* pull = layout->pull(name))
                    for (const auto& caution : pull->cautions)
                        d.cautions.push_back(
                            say(Say::pull_caution, {{"pull", capital(pull->name)}, {"caution", caution}}));
    }
    if (conclusion == Conclusion::named || conclusion == Conclusion::tie)
        d.cautions.push_back(say(Say::caution_listen));
    d.states = {{a, comparison.a, "", ""}, {b, comparison.b, "", ""}};
    return d;
}

std::vector<std::string> method_of(const Comparison& comparison, double false_discovery, bool same_placement,
                                   const Sentences& say) {
    return {
        say(Say::method_speed),
        say(Say::method_flags, {{"percent", number_text(100.0 * false_discovery, 0) + "\u00a0%"}}),
        say(same_placement ? Say::method_untouched : Say::method_moved),
        say(Say::method_offset, {{"db", change_text(comparison.level_offset)}}),
    };
}

figure::Captions captions_of(const Sentences& say) {
    figure::Captions c;
    c.level = say(Say::fig_level);
    c.change = say(Say::fig_change);
    c.per_turn = say(Say::fig_per_turn);
    c.with_pitch = say(Say::fig_with_pitch);
    c.frequency = say(Say::fig_frequency);
    c.expected = say(Say::fig_expected);
    c.outside = say(Say::fig_outside);
    c.time = say(Say::fig_time);
    c.speed = say(Say::fig_speed);
    c.mean = say(Say::fig_mean);
    c.level_by_state = say(Say::fig_level_by_state);
    c.off = say(Say::fig_off);
    c.still = say(Say::fig_still);
    c.from_front = say(Say::fig_from_front);
    c.some_guessed = say(Say::fig_some_guessed);
    c.places_guessed = say(Say::fig_places_guessed);
    c.teeth = say(Say::fig_teeth);
    c.verdict = {say(Say::gone),     say(Say::weaker), say(Say::fig_there),
                 say(Say::stronger), say(Say::fresh),  say(Say::cannot_tell)};
    c.character = {say(Say::a_tone), say(Say::a_scrape), say(Say::a_tick), say(Say::a_hiss)};
    return c;
}

}  // namespace cranknote
