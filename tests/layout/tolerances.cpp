// How wide a ratio is: from what was measured, typed, counted, or not known at all.
#include <cmath>

#include "layout/diameters.hpp"
#include "layouts.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

const char* const rounding = "double rounding";
const double uniform = 1.0 / std::sqrt(3.0);  // standard error of a uniform error of ± 1

UncertainRatio uncertain(const Layout& l, const std::string& part) {
    const auto t = turns_of(l, part);
    REQUIRE(t);
    return *t;
}

/// An alternator on a crank pulley of effective 150 mm, known to 0.1 mm.
UncertainRatio alternator(const std::string& keys) {
    return uncertain(ribbed("150\nplus_minus_mm = 0.1", on_belt("alternator", "alternator", keys)),
                     "alternator");
}

}  // namespace

TEST_CASE("tooth counts leave no doubt, friction belts creep by up to 2 %") {
    const auto l = toothed("teeth = 20", "",
                           "[[part]]\nname = \"pump\"\nkind = \"oil pump\"\ndrive = \"belt\"\nteeth = 25\n");
    CHECK(uncertain(l, "pump").value == Ratio{0.8});
    CHECK(uncertain(l, "pump").low() == uncertain(l, "pump").high());
    const auto belt = alternator("diameter_mm = 60");
    CHECK_THAT(belt.creep, within(0.02, 1e-12, rounding));
    CHECK_THAT(belt.low().value(),
               within(belt.value.value() * 0.98 * std::exp(-1.96 * belt.relative_error), 1e-12, rounding));
}

TEST_CASE("turns counted by hand: to half a turn if whole, to a quarter with a fraction") {
    const auto whole = alternator("turns = [10, 22]");
    CHECK_THAT(whole.value.value(), within(2.2, 1e-12, rounding));
    CHECK_THAT(whole.relative_error, within(0.5 * uniform / 22, 1e-12, rounding));
    CHECK_THAT(alternator("turns = [10, 22.5]").relative_error,
               within(0.25 * uniform / 22.5, 1e-12, rounding));
    // Ten crank turns beat a tape of two millimetres on a small pulley.
    CHECK(whole.relative_error < alternator("diameter_mm = 60").relative_error);
}

TEST_CASE("a typed ratio is as sure as its digits") {
    CHECK_THAT(alternator("ratio = 2.2").relative_error, within(0.05 * uniform / 2.2, 1e-12, rounding));
    CHECK_THAT(alternator("ratio = 2.20").relative_error, within(0.005 * uniform / 2.2, 1e-12, rounding));
    CHECK_THAT(alternator("ratio = 2").relative_error, within(0.5 * uniform / 2.0, 1e-12, rounding));
    CHECK_THAT(alternator("\"ratio\"   =   +2.200 # typed").relative_error,
               within(0.0005 * uniform / 2.2, 1e-12, rounding));
}

TEST_CASE("diameters: the measure's limit and the table's add up as squares") {
    // outside 60 ± 1 mm and + 4 ± 1 mm; crank effective 150 ± 0.1 and + 4 ± 0.4 mm; limits are 1.96 standard
    // errors
    const double own = std::hypot(1.0, 1.0) / 1.96 / 64.0, crank = std::hypot(0.1, 0.4) / 1.96 / 154.0;
    CHECK_THAT(alternator("diameter_mm = 60\nplus_minus_mm = 1").relative_error,
               within(std::hypot(own, crank), 1e-12, rounding));
    const double left_out = std::hypot(default_across_mm, 1.0) / 1.96 / 64.0;
    CHECK_THAT(alternator("diameter_mm = 60").relative_error,
               within(std::hypot(left_out, crank), 1e-12, rounding));
    CHECK(alternator("diameter_mm = 60\ndiameter = \"pitch\"").value == Ratio{154.0 / 60.0});
}

TEST_CASE("a tape round a pulley is its diameter times pi, and so is the tape's error") {
    const auto tape = alternator("around_mm = 200");
    const double across = 200.0 / 3.14159265358979323846;
    CHECK_THAT(tape.value.value(), within(154.0 / (across + 4.0), 1e-12, rounding));
    const double own = std::hypot(default_around_mm / 3.14159265358979323846, 1.0) / 1.96 / (across + 4.0);
    const double crank = std::hypot(0.1, 0.4) / 1.96 / 154.0;
    CHECK_THAT(tape.relative_error, within(std::hypot(own, crank), 1e-12, rounding));
}

TEST_CASE("what was not measured has its usual range") {
    const auto typical = alternator("diameter_mm = \"typical\"");
    const auto left_out = alternator("");
    CHECK(typical.value == left_out.value);
    // usual alternator pulleys: 48 to 68 mm outside (common practice), so 154/72 to 154/52
    CHECK_THAT(typical.high().value(),
               within(154.0 / 52.0, 0.01, "the crank's own tolerance, added as squares"));
    CHECK_THAT(typical.low().value() / 0.98,
               within(154.0 / 72.0, 0.01, "the crank's own tolerance, added as squares"));
    // neither diameter known: the usual ratio, 2:1 to 3.2:1 (a pulley guide; common practice)
    const auto unknown = uncertain(parse_layout(four + R"(
[[drive]]
name = "belt"
kind = "ribbed"
driver = "crank pulley"
[[part]]
name = "crank pulley"
kind = "crank pulley"
turns_with = "crank"
[[part]]
name = "alternator"
kind = "alternator"
drive = "belt"
)",
                                                "t"),
                                   "alternator");
    CHECK_THAT(unknown.high().value(), within(3.2, 1e-9, rounding));
    CHECK_THAT(unknown.low().value(), within(2.0 * 0.98, 1e-9, rounding));
    // A kind without a usual size stays unknown instead of guessed.
    CHECK_FALSE(turns_of(ribbed("150", on_belt("thing", "other", "")), "thing"));
}

TEST_CASE("a pulley that was counted and measured sharpens the others") {
    const auto idler = [](const std::string& alternator_keys) {
        const auto l = ribbed("150\nplus_minus_mm = 6",
                              on_belt("alternator", "alternator", alternator_keys) +
                                  on_belt("idler", "idler", "diameter_mm = 70\nplus_minus_mm = 0.5"));
        return uncertain(l, "idler").relative_error;
    };
    CHECK(idler("turns = [20, 48]\ndiameter_mm = 60\nplus_minus_mm = 0.5") < 0.8 * idler("diameter_mm = 60"));
}

TEST_CASE("a crank sprocket whose teeth nobody counted has 18 to 24, a whole number") {
    const auto l = toothed("", "teeth = 130", "");
    const auto mesh = line(l, "belt", LineKind::tooth_mesh, 2);
    REQUIRE(mesh.count);
    CHECK(mesh.count->low == 18);
    CHECK(mesh.count->high == 24);
    CHECK(mesh.count->each.value == Ratio{2.0});  // the second harmonic of one tooth more
    CHECK_THAT(mesh.ratio.low().value(), within(36.0, 1e-9, rounding));
    CHECK_THAT(mesh.ratio.high().value(), within(48.0, 1e-9, rounding));
    const auto pass = line(l, "belt", LineKind::belt_pass);
    REQUIRE(pass.count);
    CHECK_THAT(pass.count->each.value.value() * 22, within(22.0 / 130.0, 1e-12, rounding));
    // The cam wheel turns at half crank speed whatever the teeth are.
    const auto cam = toothed("", "", "[[part]]\nname = \"cam\"\nkind = \"cam wheel\"\ndrive = \"belt\"\n");
    CHECK(uncertain(cam, "cam").low() == Ratio{0.5});
    CHECK(uncertain(cam, "cam").high() == Ratio{0.5});
}

TEST_CASE("an alternator whose poles nobody counted has 6 to 8 pairs") {
    const auto l = ribbed("150", on_belt("alternator", "alternator", "turns = [10, 26.0]"));
    const auto ripple = line(l, "alternator", LineKind::ripple);
    REQUIRE(ripple.count);
    CHECK_THAT(ripple.count->each.value.value() * 6, within(2.6 * 36, 1e-9, rounding));
    CHECK_THAT(ripple.count->each.value.value() * 8, within(2.6 * 48, 1e-9, rounding));
}

TEST_CASE("hubs that slip and pulleys that free-wheel widen what is behind them") {
    const auto fan = ribbed("150", on_belt("fan", "fan", "ratio = 1.10\nblades = 7\nviscous = true"));
    CHECK_THAT(turns(fan, "fan"), within(1.1, 1e-12, rounding));  // the hub
    const auto blades = line(fan, "fan", LineKind::blade_pass);
    CHECK(blades.ratio.high().value() > 0.99 * 7.7);
    CHECK(blades.ratio.low().value() < 0.21 * 7.7);  // 80 % behind its hub
    const auto free = ribbed(
        "150", on_belt("alternator", "alternator", "turns = [20, 50.0]\ndecoupler = true\npole_pairs = 6"));
    const auto tied =
        ribbed("150", on_belt("alternator", "alternator", "turns = [20, 50.0]\npole_pairs = 6"));
    CHECK(line(free, "alternator", LineKind::ripple).ratio.relative_error >
          line(tied, "alternator", LineKind::ripple).ratio.relative_error);
    CHECK(line(free, "alternator", LineKind::rotation).ratio.relative_error ==
          line(tied, "alternator", LineKind::rotation).ratio.relative_error);
}

TEST_CASE("what is not driven has no ratio") {
    const auto l =
        parse_layout(four + "[[part]]\nname = \"fan\"\nkind = \"fan\"\nelectric = true\nblades = 7\n", "t");
    CHECK_FALSE(turns_of(l, "fan"));
    CHECK_FALSE(turns_of(l, "no such part"));
    CHECK_FALSE(turns_of_drive(l, "no such drive"));
    for (const auto& p : predicted_lines(l)) CHECK(p.owner != "fan");
}

TEST_CASE("a second belt creeps as well, and an error in the first reaches the last") {
    const auto l = parse_layout(four + R"(
[[drive]]
name = "first"
kind = "vee"
driver = "crank pulley"
[[drive]]
name = "second"
kind = "flat"
driver = "rear pulley"
[[part]]
name = "crank pulley"
kind = "crank pulley"
turns_with = "crank"
diameter_mm = 150
[[part]]
name = "water pump"
kind = "water pump"
drive = "first"
diameter_mm = 120
[[part]]
name = "rear pulley"
kind = "other"
on_shaft_of = "water pump"
diameter_mm = 90
[[part]]
name = "blower"
kind = "blower"
drive = "second"
diameter_mm = 60
)",
                                "t");
    // vee: cord 2.5 mm inside the rim's diameter, flat: 2.5 mm outside it (table of diameters)
    CHECK_THAT(turns(l, "blower"), within(147.5 / 117.5 * 92.5 / 62.5, 1e-12, rounding));
    CHECK_THAT(uncertain(l, "blower").creep, within(0.04, 1e-12, rounding));
    CHECK(uncertain(l, "blower").relative_error > uncertain(l, "rear pulley").relative_error);
}

TEST_CASE("back-side and smooth running have their own cord distance") {
    const auto pulley = [](const std::string& keys) {
        return turns(toothed("teeth = 20", "pitch_mm = 9.525",
                             "[[part]]\nname = \"idler\"\nkind = \"idler\"\ndrive = \"belt\"\n" + keys),
                     "idler");
    };
    const double travel = 20 * 9.525 / 3.14159265358979323846;
    CHECK_THAT(pulley("diameter_mm = 60\nback_side = true"), within(travel / 63.0, 1e-12, rounding));
    CHECK_THAT(pulley("diameter_mm = 60"), within(travel / 66.5, 1e-12, rounding));
    CHECK_THAT(pulley("teeth = 16"), within(20.0 / 16.0, 1e-12, rounding));
    const auto ribbed_idler = [](const std::string& keys) {
        return turns(ribbed("150", on_belt("idler", "idler", "diameter_mm = 70\n" + keys)), "idler");
    };
    CHECK_THAT(ribbed_idler("back_side = true"), within(154.0 / 73.5, 1e-12, rounding));
}
