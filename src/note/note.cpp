// A note's data to its blocks. Nothing is computed here but what is shown and in which order.
#include "note/note.hpp"

#include <algorithm>

#include "figure/number_text.hpp"
#include "note/note_parts.hpp"
#include "note/words.hpp"

namespace cranknote {

namespace {

void frame(note_parts::Writing& w) {
    const auto& d = w.d;
    w.out.title = d.kind.empty() ? w.say(Say::note_title) : d.kind;
    w.out.subtitle = d.title;
    w.out.author = note_parts::joined({d.by, d.shop}, ", ");
    w.out.subject = d.title;
    w.out.created = d.created;
    w.out.footer = note_parts::joined({w.out.title, d.title, d.date}, " \u00b7 ");
    w.out.page_of = w.say(Say::page_of);
    w.out.language = w.say(Say::language);
    auto facts = d.facts;
    const auto fact = [&](Say label, const std::string& value) {
        if (!value.empty()) facts.emplace_back(w.say(label), value);
    };
    fact(Say::fact_date, d.date);
    fact(Say::fact_by, d.by);
    fact(Say::fact_shop, d.shop);
    if (d.invented) w.add(document::Paragraph{w.say(Say::note_invented), document::Paragraph::Tone::faint});
    if (!facts.empty()) w.add(document::Facts{std::move(facts)});
}

}  // namespace

namespace note_parts {

void Writing::list(Say title, const std::vector<std::string>& texts) {
    if (texts.empty()) return;
    heading(say(title));
    document::Items items;
    for (const auto& text : texts) items.items.push_back({"\u2022", text});
    add(std::move(items));
}

void Writing::picture(figure::Figure f, const std::string& name, bool in_text, double most_height) {
    f.margin = 0.0;  // its edges are the text's
    f.most_height = std::min(f.most_height, most_height);
    add(document::Picture{std::move(f), "", in_text, name});
}

std::string joined(const std::vector<std::string>& items, const std::string& between) {
    std::string out;
    for (const auto& item : items)
        if (!item.empty()) out += (out.empty() ? "" : between) + item;
    return out;
}

std::string complaint_words(const Finding& f, const Sentences& say) {
    auto words = capital(character_word(f.character, say)) + ", " + where_text(f) + ".";
    if (f.beat_ratio) words += " " + beat_sentence(*f.beat_ratio, say);
    return words;
}

std::string numbered(const NoteData& d, int id, const std::string& text, const Sentences& say) {
    if (d.complaints.size() < 2) return text;
    return say(Say::of_complaint, {{"number", std::to_string(id)}, {"text", text}});
}

}  // namespace note_parts

Document note_document(const NoteData& data, const NoteSettings& settings) {
    note_parts::Writing w{data, settings.say, settings.system, captions_of(settings.say)};
    frame(w);
    note_parts::for_the_owner(w);
    note_parts::levels(w);
    note_parts::evidence(w);
    note_parts::record(w);
    return std::move(w.out);
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

std::vector<std::string> method_of(double false_discovery, bool same_placement, const Sentences& say) {
    return {
        say(Say::method_speed),
        say(Say::method_flags, {{"percent", number_text(100.0 * false_discovery, 0) + "\u00a0%"}}),
        say(same_placement ? Say::method_untouched : Say::method_moved),
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
    c.least = say(Say::fig_least);
    c.beyond = say(Say::fig_beyond);
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
