#include <algorithm>
#include <memory>
#include <optional>
#include <ostream>
#include <string>
#include <vector>

#include "cli/commands.hpp"
#include "cli/language.hpp"
#include "cli/pair_note.hpp"
#include "cli/parse.hpp"
#include "cli/read_layout.hpp"
#include "cli/write_figure.hpp"
#include "compare/compare.hpp"
#include "diagnose/pair.hpp"
#include "figure/figures.hpp"
#include "job/examine_file.hpp"
#include "job/settle_together.hpp"
#include "layout/kinematics.hpp"
#include "note/json.hpp"
#include "note/words.hpp"
#include "speed/engine_settings.hpp"

namespace cranknote::cli {

namespace {

struct CompareOptions {
    std::vector<std::string> files, a, b, a_off, b_off, a_with, b_with, a_rpm, b_rpm;
    std::string layout, figure, note;
    LanguageOptions language;
    std::optional<int> cylinders;
    bool b_repaired = false, replace = false, same_placement = false, as_json = false;
};

struct Side {
    std::vector<std::unique_ptr<Examined>> examined;
    std::vector<std::string> files;

    [[nodiscard]] std::vector<Take> takes() const {
        std::vector<Take> t;
        for (const auto& e : examined) t.push_back({&e->portrait, e->summary});
        return t;
    }
};

Side read_side(const std::vector<std::string>& files, const std::vector<std::string>& rpm,
               const std::string& option, SpeedSettings settings) {
    if (rpm.size() > files.size())
        throw Error("more speeds than files", option, "give one for each file, - where it is not known",
                    Error::Kind::wrong_call);
    Side side;
    for (std::size_t i = 0; i < files.size(); ++i) {
        settings.tag = i < rpm.size() ? parse_speed_tag(rpm[i], option) : std::nullopt;
        side.examined.push_back(std::make_unique<Examined>(examine_file(files[i], {}, settings)));
        side.files.push_back(files[i]);
    }
    return side;
}

/// All recordings are of one engine: where a crank speed is in doubt, the others help.
void settle(Side& a, Side& b, const CompareOptions& o, SpeedSettings settings) {
    std::vector<const Examined*> all;
    for (const auto& e : a.examined) all.push_back(speed_is_moved(o.a_with) ? nullptr : e.get());
    for (const auto& e : b.examined) all.push_back(speed_is_moved(o.b_with) ? nullptr : e.get());
    const auto n = a.examined.size();
    auto settled = settled_together(all, [&](std::size_t i, const SpeedTag& tag) {
        settings.tag = tag;
        return examine_file(i < n ? a.files[i] : b.files[i - n], {}, settings);
    });
    for (std::size_t i = 0; i < settled.size(); ++i)
        if (settled[i]) (i < n ? *a.examined[i] : *b.examined[i - n]) = std::move(*settled[i]);
}

State state_of(const Layout& layout, const std::string& name, const std::vector<std::string>& off,
               const std::vector<std::string>& with) {
    State s;
    s.name = name;
    s.off = off;
    s.with = with;
    for (const auto& still : still_when_off(layout, off)) s.still.push_back(still);
    const auto limit = run_limit(layout, off);
    if (limit.run == RunWithout::never)
        throw Error(limit.why, "", "never run an engine like that", Error::Kind::wrong_call);
    return s;
}

void settle_files(CompareOptions& o) {
    if (!o.files.empty()) {
        if (o.files.size() != 2 || !o.a.empty() || !o.b.empty())
            throw Error("give two files, BEFORE and AFTER, or --a and --b", "compare", "",
                        Error::Kind::wrong_call);
        o.a = {o.files[0]}, o.b = {o.files[1]};
    }
    if (o.a.empty() || o.b.empty())
        throw Error("a comparison needs a recording on each side", "compare", "give BEFORE and AFTER",
                    Error::Kind::wrong_call);
}

void run(CompareOptions o, Streams s) {
    settle_files(o);
    const auto layout = layout_of(o.layout, o.cylinders);
    if (!layout)
        throw Error("the engine is not known", "compare", "give --layout FILE or --cylinders N",
                    Error::Kind::wrong_call);
    if (!o.figure.empty()) check_figure_name(o.figure);
    const auto existing = o.replace ? Existing::replace : Existing::keep;
    if (!o.note.empty()) check_note_name(o.note, existing);
    const auto say = sentences_of(o.language);
    const auto state_a = state_of(*layout, say(Say::side_before), o.a_off, o.a_with);
    auto state_b = state_of(*layout, say(Say::side_after), o.b_off, o.b_with);
    state_b.repaired = o.b_repaired;
    const auto settings = speed_settings_of(layout->engine);
    auto a = read_side(o.a, o.a_rpm, "--a-rpm", settings);
    auto b = read_side(o.b, o.b_rpm, "--b-rpm", settings);
    settle(a, b, o, settings);
    CompareSettings how;
    how.same_placement = o.same_placement;
    how.cylinders = layout->engine.cylinders;
    auto comparison = compare(a.takes(), b.takes(), how);
    const auto verdict = suspects_of_pair(*layout, comparison, state_a, state_b);
    comparison.findings = verdict.findings;
    if (!o.note.empty())
        write_pair_note({*layout, comparison, verdict.suspects, verdict.conclusion, state_a, state_b,
                         how.false_discovery, how.same_placement},
                        o.note, existing, say);
    if (!o.figure.empty()) write_figure(figure::comparison_figure(comparison), o.figure);
    if (o.as_json)
        s.out << text_of(to_json(comparison, verdict.suspects, verdict.conclusion));
    else
        s.out << words_for(comparison, verdict.suspects, verdict.conclusion);
}

}  // namespace

void add_compare(CLI::App& app, Streams s) {
    auto* c = app.add_subcommand("compare", "Compare two states: what changed, and what may cause it");
    auto o = std::make_shared<CompareOptions>();
    const auto many = [&](const char* name, std::vector<std::string>& to, const char* help) {
        c->add_option(name, to, help)
            ->type_size(1)
            ->expected(1)
            ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
    };
    c->add_option("FILES", o->files, "BEFORE and AFTER")
        ->expected(0, 1000)
        ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
    many("--a", o->a, "A recording of the first state; repeat the option for repeats");
    many("--b", o->b, "A recording of the second state");
    many("--a-off", o->a_off, "What was off in the first state");
    many("--b-off", o->b_off, "What was off in the second state");
    many("--a-with", o->a_with, "A check held in the first state: lock, ac-on, ...");
    many("--b-with", o->b_with, "A check held in the second state");
    many("--a-rpm", o->a_rpm, "Speed of each first recording in order: 820, 820~2, or - for unknown");
    many("--b-rpm", o->b_rpm, "Speed of each second recording");
    c->add_option("--layout", o->layout, "The engine's layout, a TOML file");
    c->add_option("--cylinders", o->cylinders, "Cylinders, 1 to 16: a typical front end is used");
    c->add_option("--figure", o->figure, "Draw both states over ratio: a .png or .svg file");
    c->add_option("--note", o->note, "Write a note that is whole in itself: an .html, .pdf or .txt file");
    c->add_option("--sentences", o->language.sentences,
                  "The note in another language: a table of sentences as `note --list-sentences` prints it");
    c->add_flag("--replace", o->replace, "Write the note over one that is there");
    c->add_flag("--b-repaired", o->b_repaired, "Something was set right before the second state");
    c->add_flag("--same-placement", o->same_placement, "The phone lay untouched between the two");
    c->add_flag("--json", o->as_json, "As JSON");
    c->callback([=] { run(*o, s); });
}

}  // namespace cranknote::cli
