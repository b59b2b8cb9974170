// score_pairs: compares the two sides of simulated pairs and writes what came of each as a line of JSON.
// What is right or wrong is decided here, once; tools/score/figures adds the lines up.
#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <fstream>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "compare/compare.hpp"
#include "diagnose/pair.hpp"
#include "job/examine_file.hpp"
#include "layout/kinematics.hpp"
#include "layout/layout.hpp"
#include "note/names.hpp"
#include "score/truth_of.hpp"
#include "units/error.hpp"

namespace {

using namespace cranknote;
using score::FaultInTake;
using score::TrueCase;
using score::TrueCause;
using Json = nlohmann::ordered_json;

struct Options {
    std::vector<std::string> folders;
    std::string layout = "layout.toml";  // or layout-half-unknown.toml, or "cylinders"
    bool true_speed = false, all_findings = false;
};

Layout layout_for(const TrueCase& c, const std::string& which) {
    if (which == "cylinders") return typical_layout(c.cylinders);
    const auto path = c.folder + "/" + which;
    std::ifstream in(path);
    const std::string text((std::istreambuf_iterator<char>(in)), {});
    return parse_layout(text, path);
}

bool knows(const Layout& layout, const std::string& name) {
    try {
        return static_cast<void>(still_when_off(layout, {name})), true;
    } catch (const Error&) {
        return false;
    }
}

State state_of(const Layout& layout, const score::TrueTake& t) {
    State s;
    s.name = t.state;
    for (const auto& name : t.off)  // a typical layout does not know the pulls of this engine
        if (knows(layout, name)) s.off.push_back(name);
    s.with = t.with, s.repaired = t.repaired, s.cold = t.cold;
    for (const auto& name : still_when_off(layout, s.off)) s.still.push_back(name);
    return s;
}

/// A finding that speaks of the fault: it went with the side on which the fault sounded, and lies where the
/// fault lies.
bool in_band(const Finding& f, const FaultInTake& t) {
    return f.low.value() < t.high_hz * 1.05 && f.high.value() > t.low_hz / 1.05;
}

bool near_any(double x, const std::vector<double>& list, double tolerance) {
    return std::any_of(list.begin(), list.end(), [&](double y) { return std::abs(x / y - 1.0) < tolerance; });
}

bool speaks_of(const Finding& f, const FaultInTake& t, char side) {
    if (!f.flagged || !f.change || (f.change->value() < 0.0) != (side == 'a')) return false;
    return in_band(f, t) || (f.ratio && near_any(f.ratio->value(), t.ratios, 0.01)) ||
           (f.beat_ratio && near_any(f.beat_ratio->value(), t.beats, 0.02));
}

bool same_cause(const Suspect& s, const TrueCause& c) {
    if (name_of(s.kind) != c.kind) return false;
    if (c.kind == "outside") return true;
    return s.part == c.part && (c.also.empty() || s.also == c.also);
}

Json json_of(const Finding& f) {
    Json j{{"axis", name_of(f.axis)},
           {"low", f.low.value()},
           {"high", f.high.value()},
           {"verdict", name_of(f.verdict)},
           {"character", name_of(f.character)},
           {"follows", name_of(f.follows)},
           {"beat_follows", name_of(f.beat_follows)},
           {"prominence", f.prominence},
           {"q", f.q}};
    if (f.change) j["change"] = f.change->value();
    if (f.ratio) j["ratio"] = f.ratio->value();
    if (f.beat_ratio) j["beat"] = f.beat_ratio->value();
    if (f.expected) j["expected"] = *f.expected;
    j["flagged"] = f.flagged;
    j["beat_lines"] = f.beat_lines, j["band_change"] = f.band_change, j["beat_changed"] = f.beat_changed;
    return j;
}

struct Side {
    std::vector<std::unique_ptr<Examined>> examined;
    std::vector<Take> takes;
};

Json result_of(const TrueCase& c, const Options& o) {
    const auto layout = layout_for(c, o.layout);
    Side side[2];
    State state[2];
    for (const auto& t : c.takes) {
        SpeedSettings s;
        s.cylinders = layout.engine.cylinders, s.stroke = layout.engine.stroke;
        if (o.true_speed && t.rpm) s.tag = SpeedTag{Rpm{*t.rpm}, Rpm{5}};
        auto& to = side[t.side == 'a' ? 0 : 1];
        to.examined.push_back(std::make_unique<Examined>(examine_file(t.path, {}, s)));
        to.takes.push_back({&to.examined.back()->portrait, to.examined.back()->summary});
        state[t.side == 'a' ? 0 : 1] = state_of(layout, t);
    }
    CompareSettings how;
    how.same_placement = c.same_placement, how.cylinders = layout.engine.cylinders;
    const auto comparison = compare(side[0].takes, side[1].takes, how);
    const auto verdict = suspects_of_pair(layout, comparison, state[0], state[1]);

    Json j{{"id", c.id}, {"relation", c.relation}, {"same_placement", c.same_placement}};
    bool speeds = true, speeds_right = true;
    for (const auto& t : c.takes) {
        const auto& all = side[t.side == 'a' ? 0 : 1].examined;
        const auto it =
            std::find_if(all.begin(), all.end(), [&](const auto& e) { return e->summary.file == t.path; });
        const auto& mean = (*it)->summary.speed.mean;
        if (!mean) speeds = false;
        if (mean && t.rpm && std::abs(mean->value() / *t.rpm - 1.0) > 0.005) speeds_right = false;
    }
    j["speeds"] = speeds, j["speeds_right"] = speeds_right;
    j["offset"] = comparison.level_offset.value();
    int flagged = 0, unexpected = 0;
    for (const auto& f : verdict.findings) {
        flagged += f.flagged;
        unexpected += f.flagged && !f.expected;
    }
    j["flagged"] = flagged, j["unexpected"] = unexpected;
    const FaultInTake* fault = nullptr;
    const char loud = c.fault_side.value_or('a');
    for (const auto& t : c.takes)
        for (const auto& f : t.faults)
            if (t.side == loud && (fault == nullptr || f.level_db > fault->level_db)) fault = &f;
    if (fault != nullptr) {
        j["level"] = fault->level_db, j["kind"] = fault->cause.kind;
        j["true_character"] = fault->characters, j["true_follows"] = fault->follows;
        j["true_beat_follows"] = fault->beat_follows, j["presence"] = fault->presence;
        j["true_ratios"] = fault->ratios, j["true_beats"] = fault->beats;
        j["band"] = {fault->low_hz, fault->high_hz};
        const Finding* match = nullptr;
        for (const auto& f : verdict.findings)
            if (match == nullptr && speaks_of(f, *fault, loud)) match = &f;
        j["found"] = match != nullptr;
        if (match != nullptr) {
            j["match"] = json_of(*match);
            j["character_right"] = std::find(fault->characters.begin(), fault->characters.end(),
                                             name_of(match->character)) != fault->characters.end();
            j["follows_right"] =
                match->follows == Follows::unknown || name_of(match->follows) == fault->follows;
            if (!fault->beats.empty())
                j["beat_right"] =
                    match->beat_ratio && near_any(match->beat_ratio->value(), fault->beats, 0.02);
        }
    }
    j["conclusion"] = name_of(verdict.conclusion);
    j["suspects"] = Json::array();
    int place = 0, right_place = 0;
    const Suspect* first = verdict.suspects.empty() ? nullptr : &verdict.suspects.front();
    for (const auto& s : verdict.suspects) {
        ++place;
        const bool right =
            std::any_of(c.guilty.begin(), c.guilty.end(), [&](const auto& g) { return same_cause(s, g); });
        if (right && right_place == 0) right_place = place;
        if (right && first != nullptr &&
            std::find(first->tied_with.begin(), first->tied_with.end(), s.cause) != first->tied_with.end())
            right_place = 1;
        j["suspects"].push_back({{"p", s.probability},
                                 {"kind", name_of(s.kind)},
                                 {"part", s.part ? Json(*s.part) : Json(nullptr)},
                                 {"tied", s.tied_with.size()},
                                 {"right", right}});
    }
    j["right_place"] = right_place;
    if (!c.guilty.empty()) {
        j["guilty"] = c.guilty.front().kind;
        j["guilty_part"] = c.guilty.front().part ? Json(*c.guilty.front().part) : Json(nullptr);
        j["guilty_words"] = c.guilty.front().words;
    }
    if (o.all_findings) {
        j["findings"] = Json::array();
        for (const auto& f : verdict.findings) j["findings"].push_back(json_of(f));
    }
    return j;
}

}  // namespace

int main(int argc, char** argv) {
    CLI::App app{
        "Scores comparisons of simulated pairs: one line of JSON for each folder that `simulate` wrote"};
    Options o;
    app.add_option("FOLDERS", o.folders, "folders of cases")->required();
    app.add_option("--layout", o.layout, "layout.toml, layout-half-unknown.toml or cylinders")
        ->check(CLI::IsMember({"layout.toml", "layout-half-unknown.toml", "cylinders"}));
    app.add_flag("--true-speed", o.true_speed, "hand in the true speed, ±5 rpm, as a tag");
    app.add_flag("--findings", o.all_findings, "list every finding");
    CLI11_PARSE(app, argc, argv);
    for (const auto& folder : o.folders) try {
            std::cout << result_of(score::read_truth(folder), o).dump() << std::endl;
        } catch (const Error& e) {
            std::cout << Json{{"folder", folder}, {"error", e.what()}}.dump() << std::endl;
        }
    return 0;
}
