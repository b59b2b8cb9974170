// Every kind of wrong layout has a file that shows it and the message that it must give. Each begins with
// FILE:line:column.
#include <filesystem>
#include <map>
#include <set>

#include "layouts.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

const std::string bad_files = CRANKNOTE_SOURCE_DIR "/tests/data/bad/";

// clang-format off
const std::map<std::string, std::string> messages{
    {"arrangement_mistyped", R"x(FILE:4:1: key `arrangement`: expected `inline`, `vee` or `flat`, found `in line`; did you mean `inline`?)x"},
    {"at_one_number", R"x(FILE:12:1: key `at_mm`: expected two numbers: right and up, such as [210, 120])x"},
    {"back_side_on_chain", R"x(FILE:17:1: key `back_side`: expected a belt, for its back to run on the part)x"},
    {"back_side_with_teeth", R"x(FILE:18:1: key `teeth`: expected no teeth where the back of the belt runs on the part)x"},
    {"bank_on_inline", R"x(FILE:17:1: key `bank`: expected no banks on an inline engine)x"},
    {"bearing_balls_do_not_fit", R"x(FILE:17:13: key `balls`: expected balls that fit: 20 of 6.7 mm do not go round a circle of 28.5 mm)x"},
    {"bearing_half", R"x(FILE:17:11: key `pitch_circle_mm`: expected the diameter of the circle of ball centres)x"},
    {"bearing_key", R"x(FILE:17:13: key `nubmer`: expected a key of `bearing`; did you mean `number`?)x"},
    {"bearing_not_a_table", R"x(FILE:17:1: key `bearing`: expected a table, such as { number = "6203" }, found "6203")x"},
    {"bearing_unknown", R"x(FILE:17:13: key `number`: expected a number in the table of bearings, or { balls, ball_mm, pitch_circle_mm }, found `6230`; did you mean `6203`?)x"},
    {"belt_on_gears", R"x(FILE:8:1: key `length_mm`: expected no belt or chain on a pair of gears)x"},
    {"belt_size_and_length", R"x(FILE:9:1: key `length_mm`: expected about 1038 as printed on the belt, found 1200)x"},
    {"belt_size_and_pitch", R"x(FILE:9:1: key `pitch_mm`: expected 8 as printed on the belt, found 9.525)x"},
    {"belt_size_and_teeth", R"x(FILE:9:1: key `teeth`: expected 113 as printed on the belt, found 131)x"},
    {"belt_size_of_other_kind", R"x(FILE:8:1: key `belt`: expected the size of a toothed belt as `kind` says, found a ribbed belt's, `5PK1025`)x"},
    {"belt_size_unreadable", R"x(FILE:8:1: key `belt`: expected a printed size such as 5PK1025, 10x1025, 113ZA19 or 1072-8M, found `5XK1025` (else leave it out and give length_mm or teeth))x"},
    {"belt_teeth_and_length", R"x(FILE:10:1: key `length_mm`: expected 1076.3 (113 × 9.525 mm), found 1200)x"},
    {"belt_teeth_below_wheel", R"x(FILE:8:1: key `teeth`: expected more than the 40 teeth of `cam wheel`, found 30)x"},
    {"belt_too_short_for_route", R"x(FILE:8:1: key `teeth`: expected a loop of about 1068 mm, as the route with its `at_mm` is long, found 676 mm)x"},
    {"cam_on_ribbed_belt", R"x(FILE:15:1: key `drive`: expected a toothed belt, chain or gear for a cam wheel)x"},
    {"cam_teeth", R"x(FILE:17:1: key `teeth`: expected 40 teeth (cam_ratio 0.5 and 20 on `crank sprocket`), found 39)x"},
    {"cam_teeth_by_ratio", R"x(FILE:18:1: key `teeth`: expected 80 teeth (cam_ratio 0.25 and 20 on `crank sprocket`), found 40)x"},
    {"cam_turns", R"x(FILE:17:1: key `turns`: expected 0.5 a crank turn as cam_ratio says, found 1)x"},
    {"can_touch_cover", R"x(FILE:17:1: key `can_touch`: expected names of parts or drives, found `upper cover`)x"},
    {"can_touch_unknown", R"x(FILE:20:1: key `can_touch`: expected names of parts or drives, found `cam weel`; did you mean `cam wheel`?)x"},
    {"cylinders_fraction", R"x(FILE:3:1: key `cylinders`: expected a whole number from 1 to 16, found 4.5)x"},
    {"cylinders_text", R"x(FILE:3:1: key `cylinders`: expected a whole number from 1 to 16, found "four")x"},
    {"cylinders_zero", R"x(FILE:3:1: key `cylinders`: expected a whole number from 1 to 16, found 0)x"},
    {"diameter_and_around", R"x(FILE:13:1: key `around_mm`: expected either `diameter_mm` or `around_mm`)x"},
    {"diameter_infinite", R"x(FILE:12:1: key `diameter_mm`: expected a number from 3 to 2000, found inf)x"},
    {"diameter_kind_alone", R"x(FILE:12:1: key `diameter`: expected a measure beside it: `diameter_mm` or `around_mm`)x"},
    {"diameter_kind_mistyped", R"x(FILE:13:1: key `diameter`: expected `outside`, `effective` or `pitch`, found `efective`; did you mean `effective`?)x"},
    {"diameter_negative", R"x(FILE:12:1: key `diameter_mm`: expected a number from 3 to 2000, found -140)x"},
    {"diameter_text", R"x(FILE:12:1: key `diameter_mm`: expected a number or `typical`, found `typicall`; did you mean `typical`?)x"},
    {"dots_too_deep", R"x(FILE:2:1: expected keys with fewer dots)x"},
    {"drive_without_driver", R"x(FILE:4:1: key `driver`: expected the part that drives `belt`)x"},
    {"drive_without_kind", R"x(FILE:4:1: key `kind`: expected the kind of drive: ribbed, vee, flat, toothed, chain, silent chain or gear)x"},
    {"drive_without_name", R"x(FILE:4:1: key `name`: expected a name: this one has none)x"},
    {"driver_electric", R"x(FILE:7:1: key `driver`: expected a part that turns, found the electric `fan`)x"},
    {"driver_on_own_drive", R"x(FILE:11:1: key `drive`: expected a way to the crank: `one` is driven in a loop, through `one`)x"},
    {"driver_undriven", R"x(FILE:7:1: key `driver`: expected a part that something turns: nothing turns `thing`)x"},
    {"driver_unknown", R"x(FILE:7:1: key `driver`: expected the name of a part, found `crank puley`; did you mean `crank pulley`?)x"},
    {"electric_and_driven", R"x(FILE:16:1: key `electric`: expected no `drive`, `on_shaft_of` or `turns_with` beside it: electric means not driven)x"},
    {"firing_angles_past_cycle", R"x(FILE:4:1: key `firing_deg`: expected 4 angles from 0 to below 720, one a cylinder)x"},
    {"firing_angles_unsorted", R"x(FILE:4:1: key `firing_deg`: expected angles in the order in which they come)x"},
    {"firing_order_short", R"x(FILE:4:1: key `firing_order`: expected each of the 4 cylinders once)x"},
    {"firing_order_twice", R"x(FILE:4:1: key `firing_order`: expected each of the 4 cylinders once)x"},
    {"flag_not_bool", R"x(FILE:17:1: key `back_side`: expected true or false, found "yes")x"},
    {"fuel_unknown", R"x(FILE:4:1: key `fuel`: expected `petrol`, `diesel` or `gas`, found `steam`)x"},
    {"idle_backwards", R"x(FILE:4:1: key `idle_rpm`: expected one speed, or a low and a high one)x"},
    {"key_twice", R"x(FILE:4:13: not TOML: Error while parsing key-value pair: cannot redefine existing integer 'cylinders')x"},
    {"kind_mistyped", R"x(FILE:6:1: key `kind`: expected `ribbed`, `vee`, `flat`, `toothed`, `chain`, `silent chain` or `gear`, found `rib`; did you mean `ribbed`?)x"},
    {"links_on_belt", R"x(FILE:8:1: key `links`: expected links on a chain only)x"},
    {"loop_of_drives", R"x(FILE:15:1: key `drive`: expected a way to the crank: `one` is driven in a loop, through `one`)x"},
    {"loop_of_shafts", R"x(FILE:7:1: key `on_shaft_of`: expected a way to the crank: `one` is driven in a loop, through `one`)x"},
    {"minutes_negative", R"x(FILE:15:1: key `minutes`: expected a number from 0 to 10000, found -5)x"},
    {"name_empty", R"x(FILE:5:1: key `name`: expected some text, found nothing between the quotes)x"},
    {"name_not_text", R"x(FILE:5:1: key `name`: expected text in quotes, found 7)x"},
    {"name_of_engine", R"x(FILE:13:1: key `name`: expected another name: `clutch` means the engine's own)x"},
    {"name_too_long", R"x(FILE:5:1: key `name`: expected at most 80 bytes of text)x"},
    {"name_twice_kinds", R"x(FILE:13:1: key `name`: expected a name that nothing else has: `alternator` is taken)x"},
    {"name_twice_parts", R"x(FILE:17:1: key `name`: expected a name that nothing else has: `alternator` is taken)x"},
    {"name_with_dash", R"x(FILE:5:1: key `name`: expected a name that does not begin with a dash or a space, nor end with a space)x"},
    {"name_with_escape", R"x(FILE:5:1: key `name`: expected text without control characters)x"},
    {"nan_count", R"x(FILE:12:1: key `plus_minus_mm`: expected a number from 0 to 200, found nan)x"},
    {"no_cylinders", R"x(FILE:2:1: key `cylinders`: expected the number of cylinders, from 1 to 16)x"},
    {"no_engine", R"x(FILE:1:1: key `engine`: expected [engine] with at least `cylinders`)x"},
    {"not_toml", R"x(FILE:4:8: not TOML: Error while parsing value: could not determine value type)x"},
    {"not_utf8", R"x(FILE:1:8: not TOML: Encountered invalid utf-8 sequence)x"},
    {"off_empty", R"x(FILE:14:1: key `off`: expected what comes off: drives, parts or covers)x"},
    {"off_pull", R"x(FILE:17:1: key `off`: expected names of drives, parts or covers, found `belt off`; did you mean `belt`?)x"},
    {"off_unknown", R"x(FILE:18:1: key `off`: expected names of drives, parts or covers, found `bolt`; did you mean `belt`?)x"},
    {"oil_pump_run_ok", R"x(FILE:17:1: key `run_without`: expected `never`: the engine is destroyed or stops without `oil pump`)x"},
    {"part_drive_unknown", R"x(FILE:15:1: key `drive`: expected the name of a drive, found `alternator blet`; did you mean `alternator belt`?)x"},
    {"part_driven_twice", R"x(FILE:15:1: key `drive`: expected only one of `drive`, `on_shaft_of` and `turns_with`)x"},
    {"part_kind_mistyped", R"x(FILE:14:1: key `kind`: expected `crank pulley`, `crank sprocket`, `cam wheel`, `idler`, `tensioner`, `alternator`, `water pump`, `fan`, `steering pump`, `compressor`, `oil pump`, `injection pump`, `vacuum pump`, `blower`, `turbo`, `gear`, `sprocket`, `balance shaft`, `damper`, `clutch`, `flywheel` or `other`, found `altenator`; did you mean `alternator`?)x"},
    {"part_not_a_table", R"x(FILE:2:1: key `part`: expected tables, each under [[part]])x"},
    {"part_not_driven", R"x(FILE:14:1: key `drive`: expected what turns `alternator`: `drive`, `on_shaft_of` or turns_with = "crank"; did you mean `belt`?)x"},
    {"part_not_driven_anywhere", R"x(FILE:5:1: key `drive`: expected what turns `alternator`: `drive`, `on_shaft_of` or turns_with = "crank")x"},
    {"part_without_kind", R"x(FILE:4:1: key `kind`: expected the kind of part, such as `alternator` or `other`)x"},
    {"parts_single_bracket", R"x(FILE:4:2: key `part`: expected tables, each under [[part]])x"},
    {"plus_minus_alone", R"x(FILE:12:1: key `plus_minus_mm`: expected a measure beside it: `diameter_mm` or `around_mm`)x"},
    {"ratio_against_teeth", R"x(FILE:18:1: key `ratio`: expected about 1 a crank turn by 20 teeth on 20, found 1.25)x"},
    {"ratio_huge", R"x(FILE:8:1: key `ratio`: expected a number from 0.01 to 50, found 1e+09)x"},
    {"requires_loop", R"x(FILE:17:1: key `requires`: expected pulls that come before: `belt off` requires itself)x"},
    {"requires_unknown", R"x(FILE:20:1: key `requires`: expected names of pulls, found `belt of`; did you mean `belt off`?)x"},
    {"route_not_a_list", R"x(FILE:8:1: key `route`: expected a list in brackets, such as ["one", "two"], found "crank pulley")x"},
    {"route_other_drive", R"x(FILE:8:1: key `route`: expected parts that run on `belt`: `cam wheel` runs on `timing belt`)x"},
    {"route_twice", R"x(FILE:8:1: key `route`: expected each part once, found `crank pulley` twice)x"},
    {"route_unknown", R"x(FILE:8:1: key `route`: expected names of parts, found `alternater`; did you mean `alternator`?)x"},
    {"route_without_driver", R"x(FILE:8:1: key `route`: expected the driver `crank pulley` among them)x"},
    {"run_without_mistyped", R"x(FILE:8:1: key `run_without`: expected `never`, `seconds from cold` or `ok`, found `nevr`; did you mean `never`?)x"},
    {"schema_2", R"x(FILE:2:1: key `schema`: expected 1, found 2)x"},
    {"shaft_unknown", R"x(FILE:19:1: key `on_shaft_of`: expected the name of a part, found `waterpump`; did you mean `water pump`?)x"},
    {"stroke_3", R"x(FILE:4:1: key `stroke`: expected 4 or 2, found 3)x"},
    {"teeth_huge", R"x(FILE:12:1: key `teeth`: expected a whole number from 4 to 400, found 20000)x"},
    {"teeth_on_chain", R"x(FILE:8:1: key `teeth`: expected `links` for a chain)x"},
    {"teeth_on_ribbed_belt", R"x(FILE:8:1: key `teeth`: expected no teeth on a drive that is not a toothed belt)x"},
    {"timing_run_ok", R"x(FILE:8:1: key `run_without`: expected `never`: `timing belt` turns a cam wheel, injection pump or oil pump)x"},
    {"timing_run_seconds", R"x(FILE:8:1: key `run_without`: expected `never`: `timing belt` turns a cam wheel, injection pump or oil pump)x"},
    {"timing_tensioner_run_ok", R"x(FILE:22:1: key `run_without`: expected `never`: `tensioner` keeps `timing belt` in time)x"},
    {"turns_against_diameters", R"x(FILE:18:1: key `turns`: expected about 2.406 a crank turn by diameters, found 1.2)x"},
    {"turns_and_ratio", R"x(FILE:17:1: key `ratio`: expected either `turns` or `ratio`)x"},
    {"turns_one_number", R"x(FILE:16:1: key `turns`: expected two numbers: crank turns, and its turns meanwhile, such as [10, 22])x"},
    {"turns_swapped", R"x(FILE:16:1: key `turns`: expected crank turns first, then its turns: at most 50 a crank turn)x"},
    {"turns_with_cam", R"x(FILE:7:1: key `turns_with`: expected `crank` (for another part's shaft: on_shaft_of), found `cam`)x"},
    {"unclosed_string", R"x(FILE:2:13: not TOML: Error while parsing string: unescaped control characters other than TAB (U+0009)...)x"},
    {"unknown_key_engine", R"x(FILE:3:1: key `cylindres`: expected a key of `engine`; did you mean `cylinders`?)x"},
    {"unknown_key_far", R"x(FILE:16:1: key `xyzzyx`: expected a key of `part`: `around_mm`, `at_mm`, `back_side`, `bank`, `bearing`, `blades`, `clutch`, `decoupler`, `diameter`, `diameter_mm`, `drive`, `electric`, `kind`, `lobes`, `name`, `on_shaft_of`, `pistons`, `plungers`, `plus_minus_mm`, `pole_pairs`, `ratio`, `run_without`, `teeth`, `turns`, `turns_with`, `vanes` or `viscous`)x"},
    {"unknown_key_part", R"x(FILE:16:1: key `diamter_mm`: expected a key of `part`; did you mean `diameter_mm`?)x"},
    {"unknown_table", R"x(FILE:4:3: key `prat`: expected a key of the layout; did you mean `part`?)x"}
};
// clang-format on

std::string message_of(const std::string& text) {
    try {
        static_cast<void>(parse_layout(text, "FILE"));
    } catch (const Error& e) {
        return e.what();
    }
    return "accepted";
}

}  // namespace

TEST_CASE("every wrong layout is refused with file, line, column, key and what was expected") {
    for (const auto& [name, expected] : messages) {
        INFO(name);
        CHECK(message_of(read_file(bad_files + "layout_" + name + ".toml")) == expected);
    }
}

TEST_CASE("every wrong layout in the folder has its message here") {
    for (const auto& entry : std::filesystem::directory_iterator(bad_files)) {
        const auto name = entry.path().stem().string();
        if (name.rfind("layout_", 0) == 0) CHECK(messages.contains(name.substr(7)));
    }
}

TEST_CASE("layouts from strangers are bounded") {
    const std::string engine = "[engine]\ncylinders = 4\n";
    CHECK(message_of(engine + std::string(300 * 1024, '#')) ==
          "FILE:1:1: expected a layout of at most 256 kB");
    std::string many = engine;
    for (int i = 0; i < 151; ++i)
        many += "[[part]]\nname = \"p" + std::to_string(i) + "\"\nkind = \"other\"\n";
    CHECK(message_of(many) == "FILE:3:3: key `part`: expected at most 150 of them");
    // Thousands of levels would exhaust the stack of whoever walks them.
    std::string deep = "x = ";
    for (int i = 0; i < 20000; ++i) deep += "[";
    CHECK_THAT(message_of(deep), Catch::StartsWith("FILE:1:"));
    std::string dotted = "a";
    for (int i = 0; i < 50000; ++i) dotted += ".a";
    CHECK(message_of(dotted + " = 1\n") == "FILE:1:1: expected keys with fewer dots");
    CHECK(message_of("[" + dotted + "]\n") == "FILE:1:1: expected keys with fewer dots");
    // Dots in quotes and comments are no keys.
    std::string note = "# ................................\nname = \"................................\"\n";
    note += "[[cover]]\nname = '''.............................'''\n";
    CHECK(message_of(note + engine) == "accepted");
}

TEST_CASE("a chain of drives as long as the limits allow is read quickly") {
    // Each drive is driven by the part of the one before: a search that forgot what it found would take
    // 3 to the 40th steps.
    std::string text =
        "[engine]\ncylinders = 4\n[[part]]\nname = \"p0\"\nkind = \"other\"\nturns_with = \"crank\"\n"
        "diameter_mm = 100\n";
    for (int i = 1; i <= 40; ++i) {
        const auto n = std::to_string(i), before = std::to_string(i - 1);
        text += "[[drive]]\nname = \"d" + n + "\"\nkind = \"ribbed\"\ndriver = \"p" + before + "\"\n";
        text +=
            "[[part]]\nname = \"p" + n + "\"\nkind = \"other\"\ndrive = \"d" + n + "\"\ndiameter_mm = 100\n";
    }
    const auto l = parse_layout(text, "FILE");
    CHECK_THAT(turns(l, "p40"), within(1.0, 1e-9, "double rounding over 40 belts"));
    CHECK(turns_of(l, "p40")->relative_error > turns_of(l, "p20")->relative_error);
}
