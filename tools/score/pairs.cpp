// score_pairs: compares the two sides of simulated pairs and writes what came of each as a line of JSON.
// What is right or wrong is decided here, once; tools/score/figures adds the lines up.
#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <iostream>
#include <nlohmann/json.hpp>

#include "diagnose/pair.hpp"
#include "note/names.hpp"
#include "score/made_pair.hpp"
#include "units/error.hpp"

namespace {

using namespace cranknote;
using score::FaultInTake;
using score::TrueCase;
using Json = nlohmann::ordered_json;

struct Options {
    std::vector<std::string> folders;
    std::string layout = "layout.toml";  // or layout-half-unknown.toml, or "cylinders"
    bool true_speed = false, all_findings = false;
};

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

Json result_of(const TrueCase& c, const Options& o) {
    const auto made = score::made_pair(c, o.layout, o.true_speed);
    const auto verdict = suspects_of_pair(made.layout, made.comparison, made.a, made.b);
    const auto& comparison = made.comparison;

    Json j{{"id", c.id}, {"relation", c.relation}, {"same_placement", c.same_placement}};
    bool speeds = true, speeds_right = true;
    for (std::size_t i = 0; i < c.takes.size(); ++i) {
        const auto& mean = made.examined[i]->summary.speed.mean;
        if (!mean) speeds = false;
        if (mean && c.takes[i].rpm && std::abs(mean->value() / *c.takes[i].rpm - 1.0) > 0.005)
            speeds_right = false;
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
        const bool right = std::any_of(c.guilty.begin(), c.guilty.end(),
                                       [&](const auto& g) { return score::same_cause(s, g); });
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
