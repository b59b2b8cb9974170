// Ratios against worked examples: each expected value is computed from the formula beside it, unless a source
// is named.
#include "layout/kinematics.hpp"

#include <map>
#include <numbers>

#include "layout/bearings.hpp"
#include "layouts.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {
constexpr const char* printed4 = "four decimals printed";
const char* const rounding = "double rounding";

double bore_of(int number) {
    const int code = number % 100;
    return code == 0 ? 10 : code == 1 ? 12 : code == 2 ? 15 : code == 3 ? 17 : 5.0 * code;
}

double outside_of(int number) {
    const std::map<int, std::vector<double>> series{{60, {26, 28, 32, 35, 42, 47, 55}},
                                                    {62, {30, 32, 35, 40, 47, 52, 62, 72}},
                                                    {63, {35, 37, 42, 47, 52, 62, 72}}};
    return series.at(number / 100).at(static_cast<std::size_t>(number % 100));
}
}  // namespace

TEST_CASE("ribbed belts turn by pitch diameters: effective + 4 mm (ISO 9981)") {
    const auto alternator = [](const std::string& crank, const std::string& own) {
        return turns(ribbed(crank, on_belt("alternator", "alternator",
                                           "diameter = \"effective\"\ndiameter_mm = " + own)),
                     "alternator");
    };
    CHECK_THAT(alternator("150", "55"), within(154.0 / 59.0, 1e-12, rounding));
    CHECK_THAT(alternator("150", "55"), within(2.6102, 5e-5, printed4));
    CHECK_THAT(alternator("180", "60"), within(2.875, 1e-12, rounding));
    CHECK_THAT(alternator("150", "130"), within(1.1493, 5e-5, printed4));
    CHECK_THAT(alternator("150", "120"), within(1.2419, 5e-5, printed4));
    // Effective diameters alone would say 2.7273: 4.3 % too much, 94 rpm of the alternator at 800.
    CHECK_THAT((150.0 / 55.0 - alternator("150", "55")) * 800, within(94, 0.5, "whole rpm printed"));
}

TEST_CASE("belt pass is pi times the crank's pitch diameter over the belt's length") {
    const auto order = [](const std::string& length) {
        return drive_turns(ribbed("150", "", "length_mm = " + length), "belt");
    };
    CHECK_THAT(order("1200"), within(0.4032, 5e-5, printed4));
    CHECK_THAT(order("1500"), within(0.3225, 5e-5, printed4));
    CHECK_THAT(order("2000"), within(0.2419, 5e-5, printed4));
    CHECK_THAT(order("2500"), within(0.1935, 5e-5, printed4));
    CHECK_THAT(frequency_of(Ratio{order("2000")}, Rpm{800}).value(),
               within(3.225, 5e-4, "three decimals printed"));
}

TEST_CASE("belt pass is the same from any pulley of the loop") {
    const auto l = ribbed("150", on_belt("pump", "water pump", "diameter_mm = 120"), "length_mm = 1500");
    const double through_pump = turns(l, "pump") * std::numbers::pi * (120.0 + 4.0) / 1500.0;
    CHECK_THAT(drive_turns(l, "belt"), within(through_pump, 1e-12, rounding));
}

TEST_CASE("a printed belt size gives the length of the cord") {
    // 5PK1025: effective length 1025 mm; the cord runs 2 mm outside it all round (ISO 9981), 2 pi 2 mm
    // longer.
    const auto l = ribbed("150", "", "belt = \"5PK1025\"");
    const double expected = std::numbers::pi * 154.0 / (1025.0 + 4.0 * std::numbers::pi);
    CHECK_THAT(drive_turns(l, "belt"), within(expected, 1e-12, rounding));
}

TEST_CASE("tooth mesh is the teeth of the crank wheel, twice those of the cam wheel") {
    const std::string cam = "[[part]]\nname = \"cam\"\nkind = \"cam wheel\"\ndrive = \"belt\"\nteeth = ";
    for (const auto& [teeth, cam_teeth, hz] :
         {std::tuple{"20", "40", 266.67}, std::tuple{"22", "44", 293.33}, std::tuple{"24", "48", 320.00}}) {
        const auto by_crank = toothed("teeth = " + std::string(teeth), "", "");
        const auto by_cam = toothed("", "", cam + cam_teeth);
        const double mesh = ratio(by_crank, "belt", LineKind::tooth_mesh);
        CHECK_THAT(frequency_of(Ratio{mesh}, Rpm{800}).value(), within(hz, 5e-3, "two decimals printed"));
        CHECK(ratio(by_cam, "belt", LineKind::tooth_mesh) == mesh);
        CHECK(ratio(by_crank, "belt", LineKind::tooth_mesh, 3) == 3 * mesh);
    }
}

TEST_CASE("a toothed belt's own turns are teeth over teeth") {
    CHECK_THAT(drive_turns(toothed("teeth = 22", "teeth = 134", ""), "belt"),
               within(0.16418, 5e-6, "five decimals"));
    CHECK_THAT(drive_turns(toothed("teeth = 24", "teeth = 151", ""), "belt"),
               within(0.15894, 5e-6, "five decimals"));
}

TEST_CASE("a pair of gears: mesh, mate and the same two teeth meeting") {
    // 13 teeth at 22.5 Hz (1350 rpm) with a mate of 35
    const auto l = parse_layout(four + R"(
[[drive]]
name = "gears"
kind = "gear"
driver = "crank gear"
[[part]]
name = "crank gear"
kind = "gear"
turns_with = "crank"
teeth = 13
[[part]]
name = "mate"
kind = "gear"
drive = "gears"
teeth = 35
)",
                                "test.toml");
    const Rpm n{1350};
    const auto hz = [&](const std::string& owner, LineKind kind) {
        return frequency_of(Ratio{ratio(l, owner, kind)}, n).value();
    };
    CHECK_THAT(hz("gears", LineKind::tooth_mesh), within(292.5, 1e-9, rounding));
    CHECK_THAT(hz("mate", LineKind::rotation), within(8.3571, 5e-5, printed4));
    CHECK_THAT(hz("gears", LineKind::belt_tooth_pass), within(0.642857, 5e-7, "six decimals printed"));
    CHECK_FALSE(turns_of_drive(l, "gears"));
}

TEST_CASE("bearing ratios of 6205 and 6203 as published with a university's bearing recordings") {
    // Published multiples of shaft speed; its fourth digit is rounded, the cage's third to fifth.
    const auto r5 = bearing_ratios(*bearing_by_number("6205-2RS"), TurningRing::inner);
    CHECK_THAT(r5.inner, within(5.4152, 1e-4, "last digit published"));
    CHECK_THAT(r5.outer, within(3.5848, 1e-4, "last digit published"));
    CHECK_THAT(r5.cage, within(0.39828, 1e-4, "published value is rounded differently"));
    CHECK_THAT(r5.ball, within(4.7135, 1e-4, "last digit published; twice the ball's spin"));
    const auto r3 = bearing_ratios(*bearing_by_number("6203"), TurningRing::inner);
    CHECK_THAT(r3.inner, within(4.9469, 1e-4, "last digit published"));
    CHECK_THAT(r3.outer, within(3.0530, 2e-4, "last digit published, rounded differently"));
    CHECK_THAT(r3.cage, within(0.3817, 1e-4, "last digit published"));
    CHECK_THAT(r3.ball, within(3.9874, 3e-4, "published value is rounded differently"));
}

TEST_CASE("bearing identities hold for every bearing in the table") {
    for (const auto& row : numbered_bearings()) {
        INFO(row.number);
        for (const auto ring : {TurningRing::inner, TurningRing::outer}) {
            const auto r = bearing_ratios(row.geometry, ring);
            CHECK_THAT(r.inner + r.outer, within(row.geometry.balls, 1e-12, rounding));
            const double through = ring == TurningRing::inner ? r.outer : r.inner;
            CHECK_THAT(row.geometry.balls * r.cage, within(through, 1e-12, rounding));
        }
        // Bore and outside diameter of the number (memory: ISO 15): the balls run in the middle between them.
        const double bore = bore_of(row.number), outside = outside_of(row.number);
        CHECK_THAT(row.geometry.pitch_circle.value(),
                   within((bore + outside) / 2, 0.02 * outside, "makers shift the circle by a few tenths"));
        CHECK(row.geometry.ball.value() < 0.7 * (outside - bore) / 2);  // rings need their thickness
        CHECK(row.geometry.ball.value() > 0.5 * (outside - bore) / 2);
        const double fill = row.geometry.balls * std::asin(row.geometry.ball / row.geometry.pitch_circle);
        CHECK(fill < 0.66 * std::numbers::pi);  // a deep-groove bearing is filled from one side
        CHECK(fill > 0.55 * std::numbers::pi);  // and not left half empty
    }
}

TEST_CASE("an idler turns its bearing's outer ring") {
    // computed from the general two-ring formulas: cage = (1 + d/D) / 2
    CHECK_THAT(bearing_ratios(*bearing_by_number("6205"), TurningRing::outer).cage,
               within(0.6017, 5e-5, printed4));
    CHECK_THAT(bearing_ratios(*bearing_by_number("6203"), TurningRing::outer).cage,
               within(0.6184, 5e-5, printed4));
    // 70 mm over the grooves (pitch 74) on a crank pitch of 154
    const auto l =
        ribbed("150", on_belt("idler", "idler", "diameter_mm = 70\nbearing = { number = \"6203\" }"));
    CHECK_THAT(turns(l, "idler"), within(2.0811, 5e-5, printed4));
    CHECK_THAT(ratio(l, "idler", LineKind::bearing_outer),
               within(6.3535, 1e-3, "3.0530 or 3.05312 per turn"));
    CHECK_THAT(ratio(l, "idler", LineKind::bearing_inner), within(10.295, 1e-3, "three decimals printed"));
    CHECK_THAT(ratio(l, "idler", LineKind::bearing_cage),
               within(2.0811 * 0.6184, 2e-4, "product of rounded values"));
}

TEST_CASE("alternator: bearing, poles and rectifier ripple") {
    const auto at_27 = [](const std::string& keys) {
        return ribbed("150", on_belt("alternator", "alternator", "ratio = 2.7\n" + keys));
    };
    const auto six = at_27("pole_pairs = 6\nbearing = { number = \"6203\" }");
    CHECK_THAT(ratio(six, "alternator", LineKind::bearing_outer),
               within(8.243, 1e-3, "three decimals printed"));
    CHECK_THAT(ratio(six, "alternator", LineKind::bearing_inner),
               within(13.357, 1e-3, "three decimals printed"));
    CHECK_THAT(ratio(six, "alternator", LineKind::rotation), within(2.7, 1e-12, rounding));
    CHECK_THAT(ratio(six, "alternator", LineKind::electrical), within(16.2, 1e-12, rounding));
    CHECK_THAT(ratio(six, "alternator", LineKind::ripple), within(97.2, 1e-12, rounding));
    CHECK_THAT(ratio(six, "alternator", LineKind::ripple, 2), within(194.4, 1e-12, rounding));
    CHECK_THAT(frequency_of(Ratio{ratio(six, "alternator", LineKind::ripple)}, Rpm{800}).value(),
               within(1296, 1e-9, rounding));
    CHECK_THAT(ratio(at_27("pole_pairs = 8"), "alternator", LineKind::ripple),
               within(129.6, 1e-12, rounding));
}

TEST_CASE("pumps: vanes and pistons times turns") {
    const auto l =
        ribbed("150", on_belt("steering pump", "steering pump", "ratio = 1.15\nvanes = 10") +
                          on_belt("compressor", "compressor", "ratio = 1.25\npistons = 7\nclutch = true"));
    CHECK_THAT(ratio(l, "steering pump", LineKind::vane_pass), within(11.5, 1e-12, rounding));
    CHECK_THAT(ratio(l, "compressor", LineKind::piston_pass), within(8.75, 1e-12, rounding));
    CHECK(line(l, "compressor", LineKind::piston_pass).only_with == "ac-on");
    CHECK(line(l, "compressor", LineKind::rotation).only_with.empty());
}

TEST_CASE("firing: half the cylinders per crank turn, all of them in a two-stroke") {
    const auto firing = [](const std::string& engine, int harmonic = 1) {
        return ratio(parse_layout("[engine]\n" + engine, "t"), "exhaust", LineKind::firing, harmonic);
    };
    CHECK(firing("cylinders = 3") == 1.5);
    CHECK(firing("cylinders = 5") == 2.5);
    CHECK(firing("cylinders = 6") == 3.0);
    CHECK(firing("cylinders = 8", 2) == 8.0);
    CHECK(firing("cylinders = 2\nstroke = 2") == 2.0);
    // An even pattern typed out is the same as none.
    CHECK(firing("cylinders = 4\nfiring_deg = [0, 180, 360, 540]") == 2.0);
    // 90 degree vee six on three shared crank pins: pairs 90 and 150 degrees apart, firing energy on 1.5 and
    // its multiples (memory: Heywood).
    CHECK(firing("cylinders = 6\nfiring_deg = [0, 90, 240, 330, 480, 570]") == 1.5);
    CHECK(firing("cylinders = 6\nfiring_deg = [0, 90, 240, 330, 480, 570]", 2) == 3.0);
    // A 45 degree vee twin fires at 0 and 315: of both, 1 a crank turn gets cos(157.5°) = 0.92, 0.5 only 0.2.
    CHECK(firing("cylinders = 2\nfiring_deg = [0, 315]", 1) == 1.0);
}

TEST_CASE("lines come sorted by owner, then line, then harmonic") {
    const auto lines = predicted_lines(typical_layout(4));
    REQUIRE(lines.size() > 50);
    for (std::size_t i = 1; i < lines.size(); ++i) {
        const auto &a = lines[i - 1], &b = lines[i];
        CHECK(std::pair(a.owner, a.kind) <= std::pair(b.owner, b.kind));
        if (b.harmonic > 1) {
            CHECK(a.owner == b.owner);
            CHECK(a.kind == b.kind);
            CHECK(a.harmonic == b.harmonic - 1);
        }
        CHECK(b.ratio.value > Ratio{0});
    }
}

TEST_CASE("a chain counted at the pump leaves few whole numbers of teeth on the crank") {
    // 27 teeth on the pump, 10 crank turns to 8.5 of it: 27 × 0.85 = 22.95, ± a quarter turn of the pump.
    const auto l = toothed("", "",
                           "[[part]]\nname = \"pump\"\nkind = \"oil pump\"\ndrive = \"belt\"\nteeth = 27\n"
                           "turns = [10, 8.5]\n");
    const auto mesh = line(l, "belt", LineKind::tooth_mesh);
    REQUIRE(mesh.count);
    CHECK(mesh.count->low == 23);   // 27 × 8.29 / 10 = 22.2
    CHECK(mesh.count->high == 23);  // 27 × 8.79 / 10 = 23.7
}
