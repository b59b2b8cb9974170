// Reading, writing and naming: what goes in comes out.
#include <filesystem>

#include "layout/belts.hpp"
#include "layout/diameters.hpp"
#include "layout/words.hpp"
#include "layouts.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

const std::string presets = CRANKNOTE_SOURCE_DIR "/samples/layouts/";

/// A layout that uses every key and every kind.
const std::string everything = R"(
schema = 1
name = "Every \"key\" used, Öl"
[engine]
cylinders = 6
arrangement = "vee"
stroke = 4
firing_order = [1, 6, 5, 4, 3, 2]
firing_deg = [0, 90, 240.5, 330, 480, 570]
fuel = "gas"
idle_rpm = [600, 650.5]
cam_ratio = 0.5
valves_per_cylinder = 3
[[drive]]
name = "timing"
kind = "toothed"
driver = "crank sprocket"
belt = "113ZA19"
route = ["crank sprocket", "cam wheel"]
run_without = "never"
[[drive]]
name = "accessory"
kind = "ribbed"
driver = "crank pulley"
belt = "6PK1750"
count = 2
[[drive]]
name = "oil chain"
kind = "chain"
driver = "crank sprocket"
links = 60
pitch_mm = 8
rows = 2
run_without = "never"
[[drive]]
name = "vee belt"
kind = "vee"
driver = "crank pulley"
length_mm = 1033.25
run_without = "seconds from cold"
[[drive]]
name = "gears"
kind = "gear"
driver = "crank sprocket"
run_without = "ok"
[[part]]
name = "crank sprocket"
kind = "crank sprocket"
turns_with = "crank"
teeth = 20
[[part]]
name = "crank pulley"
kind = "crank pulley"
turns_with = "crank"
around_mm = 440.5
plus_minus_mm = 2
at_mm = [0, -1.5]
[[part]]
name = "cam wheel"
kind = "cam wheel"
drive = "timing"
teeth = 40
bank = 2
[[part]]
name = "alternator"
kind = "alternator"
drive = "accessory"
turns = [10, 25.5]
blades = 12
pole_pairs = 6
decoupler = true
bearing = { balls = 7, ball_mm = 7.938, pitch_circle_mm = 28.5, contact_deg = 15 }
[[part]]
name = "compressor"
kind = "compressor"
drive = "accessory"
ratio = 1.20
pistons = 7
clutch = true
[[part]]
name = "tensioner"
kind = "tensioner"
drive = "timing"
diameter_mm = 60
diameter = "pitch"
back_side = true
bearing = { number = "6203-2RS C3" }
run_without = "never"
[[part]]
name = "oil pump"
kind = "oil pump"
drive = "oil chain"
teeth = 25
lobes = 6
vanes = 4
plungers = 2
[[part]]
name = "water pump"
kind = "water pump"
drive = "vee belt"
diameter_mm = "typical"
[[part]]
name = "fan"
kind = "fan"
on_shaft_of = "water pump"
viscous = true
[[part]]
name = "rear fan"
kind = "fan"
electric = true
[[part]]
name = "balance shaft"
kind = "balance shaft"
drive = "gears"
teeth = 10
[[cover]]
name = "backplate"
kind = "backplate"
can_touch = ["timing", "cam wheel"]
[[pull]]
name = "vee belt off"
off = ["vee belt"]
minutes = 7.5
[[pull]]
name = "backplate off"
off = ["backplate", "accessory"]
minutes = 100
refit_minutes = 120
wait_minutes = 30
renew = ["a bolt", "a seal"]
requires = ["vee belt off"]
cautions = ["Mind the \\ edges."]
)";

}  // namespace

TEST_CASE("a layout written as TOML is read back to the same") {
    const auto once = parse_layout(everything, "t");
    const auto text = to_toml(once);
    const auto twice = parse_layout(text, "t");
    CHECK(to_toml(twice) == text);
    // What the writer might drop is compared with what was typed, not with the writer's own output.
    CHECK(twice.name == "Every \"key\" used, Öl");
    CHECK(twice.engine.firing_deg[2] == Degrees{240.5});
    CHECK(twice.engine.idle == std::pair{Rpm{600}, Rpm{650.5}});
    CHECK(twice.engine.fuel == Fuel::gas);
    CHECK(twice.engine.valves_per_cylinder == 3);
    CHECK(twice.drive("timing")->teeth == 113);
    CHECK(twice.drive("timing")->pitch == Millimetres{9.525});
    CHECK(twice.drive("accessory")->count == 2);
    CHECK(twice.drive("accessory")->length == once.drive("accessory")->length);
    CHECK(twice.drive("oil chain")->rows == 2);
    CHECK(twice.drive("vee belt")->run_without == RunWithout::seconds_from_cold);
    CHECK(twice.drive("vee belt")->length == Millimetres{1033.25});
    CHECK(twice.part("crank pulley")->by_tape);
    CHECK(twice.part("crank pulley")->around == Millimetres{440.5});
    CHECK((*twice.part("crank pulley")->at_mm)[1] == -1.5);
    CHECK(twice.part("cam wheel")->bank == 2);
    CHECK(twice.part("alternator")->turns == std::pair{10.0, 25.5});
    CHECK(twice.part("alternator")->bearing->contact == Degrees{15});
    CHECK(twice.part("compressor")->ratio_decimals == 2);
    CHECK(twice.part("tensioner")->bearing_number == "6203-2RS C3");
    CHECK(twice.part("tensioner")->bearing->balls == 8);
    CHECK(twice.part("tensioner")->diameter_kind == DiameterKind::pitch);
    CHECK(twice.part("oil pump")->plungers == 2);
    CHECK(std::holds_alternative<Typical>(twice.part("water pump")->diameter));
    CHECK(twice.part("fan")->viscous);
    CHECK(twice.part("rear fan")->electric);
    CHECK(twice.cover("backplate")->kind == CoverKind::backplate);
    CHECK(twice.pull("backplate off")->wait_minutes == 30);
    CHECK(twice.pull("backplate off")->renew == std::vector<std::string>{"a bolt", "a seal"});
    CHECK(twice.pull("backplate off")->requires_ == std::vector<std::string>{"vee belt off"});
    CHECK(twice.pull("backplate off")->cautions == std::vector<std::string>{"Mind the \\ edges."});
    CHECK(twice.pull("vee belt off")->refit_minutes == 7.5);  // left out: as long as taking it off
}

TEST_CASE("every preset is read, predicts, and is read again from its own TOML") {
    int presets_read = 0;
    for (const auto& entry : std::filesystem::directory_iterator(presets)) {
        if (entry.path().extension() != ".toml") continue;
        INFO(entry.path());
        ++presets_read;
        const auto layout = parse_layout(read_file(entry.path()), entry.path().string());
        CHECK_FALSE(layout.name.empty());
        CHECK_FALSE(layout.covers.empty());
        CHECK_FALSE(layout.pulls.empty());
        for (const auto& pull : layout.pulls) {
            CHECK_FALSE(pull.cautions.empty());
            CHECK(run_limit(layout, {pull.name}).run != RunWithout::never);
        }
        for (const auto& p : layout.parts) {
            INFO(p.name);
            const bool blade = p.kind == PartKind::tensioner && !p.teeth && p.diameter.index() == 0;
            CHECK(turns_of(layout, p.name).has_value() == !(p.electric || blade));
        }
        for (const auto& d : layout.drives)
            CHECK(turns_of_drive(layout, d.name).has_value() == (d.kind != DriveKind::gear));
        CHECK(to_toml(parse_layout(to_toml(layout), "again")) == to_toml(layout));
    }
    CHECK(presets_read >= 11);
}

TEST_CASE("the typical front end of 1 to 16 cylinders") {
    for (int n = 1; n <= 16; ++n) {
        INFO(n);
        const auto typical = typical_layout(n);
        CHECK(typical.typical);
        CHECK(typical.engine.cylinders == n);
        const auto again = parse_layout(to_toml(typical), "typical");
        CHECK(again.typical);
        CHECK(to_toml(again) == to_toml(typical));
        CHECK(turns(typical, n > 6 ? "cam wheel 1" : "cam wheel") == 0.5);
        CHECK_FALSE(typical.pulls.empty());
    }
    CHECK_THROWS_WITH(typical_layout(0), "an engine of 0 cylinders is not known here (1 to 16 cylinders)");
    CHECK_THROWS_WITH(typical_layout(17), "an engine of 17 cylinders is not known here (1 to 16 cylinders)");
}

TEST_CASE("names: all of them, the engine's last") {
    const auto l = parse_layout(everything, "t");
    const auto names = names_of(l);
    CHECK(names.size() == l.parts.size() + l.drives.size() + l.covers.size() + l.pulls.size() + 7);
    CHECK(names.front() == "crank sprocket");
    CHECK(names.back() == "clutch");
}

TEST_CASE("the nearest valid name to a mistyped one") {
    const std::vector<std::string> valid{"alternator", "alternator belt", "water pump", "fan shroud", "fan"};
    CHECK(nearest_name("alternater", valid) == "alternator");
    CHECK(nearest_name("Alternator Belt", valid) == "alternator belt");
    CHECK(nearest_name("wtaer pump", valid) == "water pump");  // neighbours swapped
    CHECK(nearest_name("waterpump", valid) == "water pump");
    CHECK(nearest_name("shroud", valid) == "fan shroud");  // the one that holds it
    CHECK(nearest_name("fna", valid) == "fan");
    CHECK(nearest_name("belt", {"alternator belt", "timing belt"}).empty());  // two hold it
    CHECK(nearest_name("crankshaft", valid).empty());
    CHECK(nearest_name("", valid).empty());
    CHECK(nearest_name(std::string(100000, 'x'), valid).empty());
}

TEST_CASE("every kind has a word of its own") {
    const auto all_different = [](auto list) {
        std::vector<std::string_view> seen;
        for (const auto& w : list) {
            CHECK(std::find(seen.begin(), seen.end(), w.word) == seen.end());
            CHECK(word_of(w.value) == w.word);
            seen.push_back(w.word);
        }
        return seen.size();
    };
    CHECK(all_different(words<PartKind>()) == static_cast<std::size_t>(PartKind::other) + 1);
    CHECK(all_different(words<DriveKind>()) == static_cast<std::size_t>(DriveKind::gear) + 1);
    CHECK(all_different(words<CoverKind>()) == static_cast<std::size_t>(CoverKind::bracket) + 1);
    CHECK(all_different(words<LineKind>()) == static_cast<std::size_t>(LineKind::firing) + 1);
    CHECK(all_different(words<RunWithout>()) == 3);
    CHECK(all_different(words<DiameterKind>()) == 3);
    CHECK(all_different(words<Arrangement>()) == 3);
    CHECK(all_different(words<Fuel>()) == 3);
}

TEST_CASE("belts by the size printed on them") {
    const auto pk = read_belt_size("5PK1025");
    REQUIRE(pk);
    CHECK(pk->kind == DriveKind::ribbed);
    CHECK(pk->ribs == 5);
    CHECK_THAT(pk->length->value(), within(1025 + 12.566, 1e-3, "2 pi times 2 mm, three decimals"));
    CHECK(read_belt_size("6 pk 1750")->ribs == 6);
    CHECK(read_belt_size("AVX10x1025")->kind == DriveKind::vee);
    CHECK(read_belt_size("12,5 x 1025 La")->kind == DriveKind::vee);
    const auto za = read_belt_size("113ZA19");
    CHECK(za->kind == DriveKind::toothed);
    CHECK(za->teeth == 113);
    CHECK(za->pitch == Millimetres{9.525});
    CHECK(read_belt_size("134YU25")->pitch == Millimetres{8});
    const auto metric = read_belt_size("1072-8M");
    CHECK(metric->teeth == 134);  // pitch times teeth: 8 mm × 134 = 1072 mm
    CHECK(metric->length == Millimetres{1072});
    for (const auto* wrong :
         {"", "PK", "5PK", "PK1025", "0PK1025", "5PK99999", "1e9PK1025", "1071-8M", "ZA", "10x", "x"})
        CHECK_FALSE(read_belt_size(wrong));
}

TEST_CASE("the table of diameters in diameters.hpp is the one that is computed with") {
    const auto header = read_file(CRANKNOTE_SOURCE_DIR "/src/layout/diameters.hpp");
    const auto running = [](Running r) {
        return r == Running::wheel ? "wheel" : r == Running::back_side ? "back side" : "smooth";
    };
    const auto cell = [](std::string text, std::size_t width) {
        text.resize(std::max(width, text.size()), ' ');
        return "| " + text + " ";
    };
    for (const auto& r : pitch_rules()) {
        char added[40];
        std::snprintf(added, sizeof added, "%+.1f ± %.1f mm ", r.add_mm, r.limit_mm);
        const auto row = cell(std::string(word_of(r.drive)), 12) + cell(running(r.running), 10) +
                         cell(std::string(word_of(r.measured)), 9) + "| " + added + " " +
                         cell(std::string(r.source), 54) + "|";
        INFO(row);
        CHECK(header.find(row) != std::string::npos);
    }
    const auto rows = static_cast<std::size_t>(std::count(header.begin(), header.end(), '\n'));
    CHECK(rows > pitch_rules().size());
}
