#include "diagnose/engine.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace cranknote::test {
namespace {

constexpr const char* toml = R"(
schema = 1
name = "Four in line, for tests"
[engine]
cylinders = 4
idle_rpm = 820
[[drive]]
name = "timing belt"
kind = "toothed"
driver = "crank sprocket"
teeth = 113
pitch_mm = 9.525
route = ["crank sprocket", "cam wheel", "timing tensioner"]
run_without = "never"
[[drive]]
name = "alternator belt"
kind = "ribbed"
driver = "crank pulley"
belt = "5PK1025"
route = ["crank pulley", "water pump", "alternator"]
[[drive]]
name = "steering belt"
kind = "ribbed"
driver = "crank pulley"
belt = "4PK890"
route = ["crank pulley", "steering pump"]
[[part]]
name = "crank pulley"
kind = "crank pulley"
turns_with = "crank"
diameter_mm = 140
[[part]]
name = "crank sprocket"
kind = "crank sprocket"
turns_with = "crank"
teeth = 20
[[part]]
name = "cam wheel"
kind = "cam wheel"
drive = "timing belt"
teeth = 40
[[part]]
name = "timing tensioner"
kind = "tensioner"
drive = "timing belt"
diameter_mm = 60
back_side = true
bearing = { number = "6203" }
run_without = "never"
[[part]]
name = "alternator"
kind = "alternator"
drive = "alternator belt"
turns = [10, 22]
pole_pairs = 6
bearing = { number = "6203" }
[[part]]
name = "water pump"
kind = "water pump"
drive = "alternator belt"
diameter_mm = 118
vanes = 7
run_without = "seconds from cold"
[[part]]
name = "fan"
kind = "fan"
on_shaft_of = "water pump"
blades = 5
[[part]]
name = "steering pump"
kind = "steering pump"
drive = "steering belt"
diameter_mm = 126
vanes = 10
[[cover]]
name = "upper timing cover"
can_touch = ["cam wheel", "timing belt"]
[[cover]]
name = "lower timing cover"
can_touch = ["crank pulley", "timing belt"]
[[cover]]
name = "fan shroud"
kind = "shield"
can_touch = ["fan"]
[[pull]]
name = "alternator belt off"
off = ["alternator belt"]
minutes = 10
refit_minutes = 10
cautions = ["The water pump stands still: seconds from cold, then engine off."]
[[pull]]
name = "steering belt off"
off = ["steering belt"]
minutes = 8
refit_minutes = 8
[[pull]]
name = "fan shroud off"
off = ["fan shroud"]
minutes = 12
refit_minutes = 12
[[pull]]
name = "upper timing cover off"
off = ["upper timing cover"]
minutes = 25
refit_minutes = 25
[[pull]]
name = "lower timing cover off"
off = ["lower timing cover"]
minutes = 70
refit_minutes = 90
renew = ["crank pulley bolt"]
requires = ["alternator belt off", "upper timing cover off"]
[[pull]]
name = "timing belt off"
off = ["timing belt"]
minutes = 60
refit_minutes = 60
requires = ["lower timing cover off"]
)";

}  // namespace

Layout engine() { return parse_layout(toml, "engine.toml"); }

std::vector<std::pair<std::string, Layout>> presets() {
    std::vector<std::pair<std::string, Layout>> list{{"engine", engine()}};
    for (const int cylinders : {2, 3, 4, 5, 6, 8})
        list.emplace_back("typical " + std::to_string(cylinders), typical_layout(cylinders));
    const std::filesystem::path folder = std::filesystem::path(CRANKNOTE_SOURCE_DIR) / "samples" / "layouts";
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        if (entry.path().extension() != ".toml") continue;
        std::ifstream file(entry.path());
        std::stringstream text;
        text << file.rdbuf();
        const auto name = entry.path().filename().string();
        list.emplace_back(name, parse_layout(text.str(), name));
    }
    std::sort(list.begin(), list.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    return list;
}

State state(const std::string& name, const std::vector<std::string>& off,
            const std::vector<std::string>& with) {
    State s;
    s.name = name;
    s.off = off;
    s.with = with;
    return s;
}

Cause cause(const std::vector<Cause>& causes, const std::string& words) {
    std::vector<Cause> found;
    for (const auto& c : causes)
        if (c.text.find(words) != std::string::npos) found.push_back(c);
    INFO("looking for: " << words);
    REQUIRE(found.size() == 1);
    return found.front();
}

double probability(const std::vector<Suspect>& suspects, const std::string& text) {
    for (const auto& s : suspects)
        if (s.cause == text) return s.probability;
    return 0.0;
}

double sum_of(const std::vector<Suspect>& suspects) {
    double sum = 0.0;
    for (const auto& s : suspects) sum += s.probability;
    return sum;
}

Finding changed(Character character, Verdict verdict, double low_hz, double high_hz) {
    Finding f;
    f.id = "f1";
    f.low = Hertz{low_hz};
    f.high = Hertz{high_hz};
    f.character = character;
    f.verdict = verdict;
    f.flagged = verdict != Verdict::there;
    f.prominence = 14.0;
    const double change = verdict == Verdict::there                                   ? 0.0
                          : verdict == Verdict::fresh || verdict == Verdict::stronger ? 10.0
                                                                                      : -10.0;
    f.change = Decibel{change};
    f.band_change = change;  // as loud as a complaint
    return f;
}

}  // namespace cranknote::test
