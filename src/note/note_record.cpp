// What settles an argument a year later: readings, what was seen, the engine, how it was measured.
#include <algorithm>
#include <cmath>

#include "figure/number_text.hpp"
#include "layout/kinematics.hpp"
#include "note/note_parts.hpp"

namespace cranknote::note_parts {

namespace {

std::string with_unit(double value, int decimals, const std::string& unit) {
    return number_text(value, decimals) + (unit.empty() ? "" : "\u00a0" + unit);
}

std::string value_text(const Writing& w, const NoteReading& r) {
    if (!r.value) return not_known;
    const auto v = shown(*r.value, r.unit, w.system);
    return with_unit(v.value, v.decimals, v.unit);
}

std::string target_text(const Writing& w, const NoteReading& r) {
    if (!r.target) return not_known;
    const auto target = shown(*r.target, r.unit, w.system);
    auto text = number_text(target.value, target.decimals);
    if (r.tolerance) {
        const auto limit = shown(*r.tolerance, r.unit, w.system, true);
        text += "\u00a0\u00b1\u00a0" + number_text(limit.value, std::max(limit.decimals, target.decimals));
    }
    if (!target.unit.empty()) text += "\u00a0" + target.unit;
    if (r.value && r.tolerance)
        text +=
            ": " + w.say(std::abs(*r.value - *r.target) <= *r.tolerance ? Say::on_target : Say::off_target);
    return text;
}

void readings(Writing& w) {
    if (w.d.readings.empty()) return;
    w.heading(w.say(Say::heading_readings));
    document::Table table{{{w.say(Say::col_reading), false, 2.0},
                           {w.say(Say::col_value), true, 1.0},
                           {w.say(Say::col_target), true, 1.4, true},
                           {w.say(Say::col_when), false, 1.4}},
                          {}};
    for (const auto& r : w.d.readings)
        table.rows.push_back({r.what, value_text(w, r), target_text(w, r), r.when});
    w.add(std::move(table));
}

void seen(Writing& w) {
    if (w.d.saw.empty()) return;
    w.heading(w.say(Say::heading_seen));
    document::Items items;
    for (const auto& s : w.d.saw)
        items.items.push_back(
            {s.speaks_for ? "+" : "\u2212",
             w.say(s.speaks_for ? Say::seen_for : Say::seen_against, {{"on", s.on}, {"text", s.text}})});
    w.add(std::move(items));
}

/// The state of the comparison's second side, or the last with something off.
const State* telling_state(const NoteData& d) {
    const State* found = nullptr;
    for (const auto& s : d.states) {
        if (s.state.name == d.side_b) return &s.state;
        if (!s.state.off.empty()) found = &s.state;
    }
    return found;
}

/// The things that come off. Names that the layout does not have are no reason to write no note.
std::set<std::string> things_off(const Layout& layout, std::vector<std::string> off) {
    const auto known = names_of(layout);
    std::erase_if(off, [&](const std::string& name) {
        return std::find(known.begin(), known.end(), name) == known.end() ||
               std::find(engine_names.begin(), engine_names.end(), name) != engine_names.end();
    });
    return expand_off(layout, off);
}

void engine(Writing& w) {
    const auto& d = w.d;
    if (!d.layout) return;
    w.heading(w.say(Say::heading_engine));
    figure::EngineView view;
    view.words = w.captions;
    view.lift = 1.0;
    const auto suspect = [&](const std::string& name, double p) {
        view.suspicion[name] = std::max(view.suspicion[name], p);
    };
    for (const auto& s : d.guilty) {
        if (s.part) suspect(*s.part, s.probability);
        for (const auto& name : s.also) suspect(name, s.probability);
    }
    if (const auto* telling = telling_state(d)) {
        view.off = things_off(*d.layout, telling->off);
        view.still = {telling->still.begin(), telling->still.end()};
    }
    w.picture(figure::engine_figure(*d.layout, view), "engine", false, 350.0);
    if (!view.off.empty())
        w.add(document::Paragraph{w.say(Say::engine_as_in, {{"state", telling_state(d)->name}}),
                                  document::Paragraph::Tone::faint});
}

void method(Writing& w) {
    const auto& d = w.d;
    document::SmallPrint print;
    print.lines = {w.say(Say::about_levels), w.say(Say::about_ratio)};
    print.lines.insert(print.lines.end(), d.settings.begin(), d.settings.end());
    for (const auto& s : d.sources)
        print.lines.push_back(w.say(Say::source_hash, {{"file", s.file}, {"hash", s.sha256}}));
    if (!d.program.empty()) print.lines.push_back(w.say(Say::made_with, {{"program", d.program}}));
    w.heading(w.say(Say::heading_method));
    w.add(std::move(print));
}

}  // namespace

void record(Writing& w) {
    readings(w);
    seen(w);
    engine(w);
    method(w);
}

}  // namespace cranknote::note_parts
