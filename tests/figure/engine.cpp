#include <catch2/catch.hpp>
#include <numbers>

#include "figure/belt_path.hpp"
#include "figure/cairo_painter.hpp"
#include "figure/figures.hpp"
#include "figure/laid.hpp"
#include "figure/placement.hpp"
#include "layout/kinematics.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::figure;
using cranknote::test::laid;
using cranknote::test::within;

namespace {

constexpr double pi = std::numbers::pi;

double turned_in_all(const BeltPath& path, const std::vector<Wheel>& wheels) {
    double sum = 0.0;
    for (std::size_t i = 0; i < wheels.size(); ++i) sum += (wheels[i].back_side ? -1.0 : 1.0) * path.wrap[i];
    return sum;
}

/// Every straight stretch touches both of its wheels: as far from the centre as the radius, at a right angle.
void check_tangents(const BeltPath& path, const std::vector<Wheel>& wheels) {
    for (std::size_t i = 0; i < wheels.size(); ++i) {
        const auto &a = wheels[i], &b = wheels[(i + 1) % wheels.size()];
        CHECK_THAT(length(path.off[i] - a.centre), within(a.radius, 1e-9 * a.radius, "double rounding"));
        CHECK_THAT(length(path.on[i] - b.centre), within(b.radius, 1e-9 * b.radius, "double rounding"));
        const Point along = path.on[i] - path.off[i];
        CHECK_THAT(dot(along, path.off[i] - a.centre),
                   within(0.0, 1e-6, "mm², double rounding of products to 1e5"));
        CHECK_THAT(dot(along, path.on[i] - b.centre),
                   within(0.0, 1e-6, "mm², double rounding of products to 1e5"));
    }
}

double polyline_length(const std::vector<Point>& points) {
    double sum = 0.0;
    for (std::size_t i = 0; i < points.size(); ++i)
        sum += length(points[(i + 1) % points.size()] - points[i]);
    return sum;
}

Layout example() {
    return parse_layout(R"(
schema = 1
name = "Invented"
[engine]
cylinders = 4
[[drive]]
name = "belt"
kind = "ribbed"
driver = "crank pulley"
route = ["crank pulley", "idler", "alternator", "pump"]
[[part]]
name = "crank pulley"
kind = "crank pulley"
turns_with = "crank"
diameter_mm = 140
at_mm = [0, 0]
[[part]]
name = "alternator"
kind = "alternator"
drive = "belt"
diameter_mm = 60
at_mm = [200, 150]
[[part]]
name = "pump"
kind = "water pump"
drive = "belt"
diameter_mm = 120
at_mm = [-20, 220]
[[part]]
name = "idler"
kind = "idler"
drive = "belt"
diameter_mm = 70
back_side = true
at_mm = [150, 20]
[[cover]]
name = "shield"
can_touch = ["alternator"]
)",
                        "example");
}

}  // namespace

TEST_CASE("belt: two equal pulleys need twice the distance and one circumference", "[figure][belt]") {
    const std::vector<Wheel> wheels{{{0, 0}, 50, false}, {{300, 40}, 50, false}};
    const auto path = belt_path(wheels);
    CHECK_THAT(path.length,
               within(2.0 * std::hypot(300, 40) + pi * 100.0, 1e-9, "geometry, double rounding"));
    CHECK_THAT(polyline_length(path.points),
               within(path.length, 0.05, "chords of 0.05 rad lie 0.02 mm a turn short"));
    check_tangents(path, wheels);
}

TEST_CASE("belt: two unequal pulleys, open belt", "[figure][belt]") {
    // L = 2 c cos a + pi (R + r) + 2 a (R - r), sin a = (R - r) / c: textbook geometry, computed here.
    const double c = 250, R = 80, r = 30, a = std::asin((R - r) / c);
    const std::vector<Wheel> wheels{{{0, 0}, R, false}, {{0, c}, r, false}};
    CHECK_THAT(belt_path(wheels).length, within(2 * c * std::cos(a) + pi * (R + r) + 2 * a * (R - r), 1e-9,
                                                "geometry, double rounding"));
}

TEST_CASE("belt: a back-side pulley turns the other way and shares one full turn", "[figure][belt]") {
    const std::vector<Wheel> wheels{
        {{0, 0}, 70, false}, {{150, 20}, 35, true}, {{200, 150}, 30, false}, {{-20, 220}, 60, false}};
    const auto path = belt_path(wheels);
    CHECK(path.sound);
    check_tangents(path, wheels);
    CHECK_THAT(turned_in_all(path, wheels), within(2.0 * pi, 1e-9, "a closed run turns once round"));
    CHECK(path.wrap[1] > 0.1);
    for (const double wrap : path.wrap) CHECK(wrap < pi * 1.5);
    // The same engine given the other way round is the same belt.
    const std::vector<Wheel> backwards(wheels.rbegin(), wheels.rend());
    CHECK_THAT(belt_path(backwards).length,
               within(path.length, 1e-9, "the sense of running does not matter"));
}

TEST_CASE("belt: a forgotten back side is settled by where the wheel stands", "[figure][belt]") {
    std::vector<Wheel> wheels{
        {{0, 0}, 70, false}, {{90, 75}, 35, false}, {{200, 150}, 30, false}, {{-20, 220}, 60, false}};
    CHECK(belt_path(wheels).wrap[1] > 1.5 * pi);
    wheels = settled(wheels);
    CHECK(wheels[1].back_side);
    CHECK_THAT(turned_in_all(belt_path(wheels), wheels),
               within(2.0 * pi, 1e-9, "a closed run turns once round"));
}

TEST_CASE("belt: overlapping pulleys are drawn all the same, and said to be unsound", "[figure][belt]") {
    const auto path = belt_path({{{0, 0}, 50, false}, {{10, 0}, 20, false}, {{0, 100}, 20, false}});
    CHECK_FALSE(path.sound);
    for (const auto& p : path.points) CHECK((std::isfinite(p.x) && std::isfinite(p.y)));
    CHECK(belt_path({{{0, 0}, 50, false}}).points.empty());
}

TEST_CASE("band: round one circle its circumference, and it holds all", "[figure][belt]") {
    CHECK_THAT(polyline_length(band_round({{{5, 5}, 40, false}}, 10)),
               within(pi * 100, 0.2, "96 chords: 0.02 % short"));
    const auto hull = band_round({{{0, 0}, 10, false}, {{100, 0}, 20, false}, {{50, 5}, 5, false}}, 0);
    for (const auto& p : hull) CHECK((p.x >= -10.001 && p.x <= 120.001));
}

TEST_CASE("placement: what the layout says is kept, the rest does not overlap", "[figure][placement]") {
    const auto layout = example();
    for (const auto& p : place_parts(layout)) {
        CHECK_FALSE(p.guessed);
        CHECK(p.at == Point{(*p.part->at_mm)[0], (*p.part->at_mm)[1]});
    }
    for (int cylinders = 1; cylinders <= 12; ++cylinders) {
        const auto typical = typical_layout(cylinders);
        const auto placed = place_parts(typical);
        REQUIRE(placed.size() == typical.parts.size());
        for (const auto& a : placed)
            for (const auto& b : placed) {
                if (&a >= &b || (a.part->turns_with_crank && b.part->turns_with_crank)) continue;
                CAPTURE(cylinders, a.part->name, b.part->name);
                CHECK(length(a.at - b.at) >
                      0.8 * (a.radius + b.radius));  // a tensioner may press in a little
            }
    }
}

TEST_CASE("placement: a route that forgot a part still runs round it", "[figure][placement]") {
    auto layout = example();
    layout.drives[0].route = {"crank pulley", "alternator", "pump"};
    const auto order = running_order(layout.drives[0], place_parts(layout));
    CHECK(order == std::vector<std::string>{"crank pulley", "idler", "alternator", "pump"});
}

TEST_CASE("engine figure: a click finds the part, suspicion is a number", "[figure][engine]") {
    EngineView view;
    view.suspicion = {{"alternator", 0.62}};
    view.off = {"belt"};
    view.still = still_when_off(example(), {"belt"});
    for (const double width : {380.0, 900.0}) {
        const auto out = laid(engine_figure(example(), view), width);
        REQUIRE(out.panels.size() == 1);
        const auto* target = under(out, out.panels[0].px({200, 150}));
        REQUIRE(target != nullptr);
        CHECK(target->id == "alternator");
        std::string all;
        for (const auto& shape : out.drawn)
            if (const auto* text = std::get_if<TextShape>(&shape)) all += text->text + "|";
        CHECK_THAT(all, Catch::Contains("62\u00a0%"));
        CHECK_THAT(all, Catch::Contains("stands still"));
        CHECK_THAT(all, Catch::Contains("off"));
        CHECK_THAT(all, Catch::Contains("shield"));
    }
}

TEST_CASE("engine figure: every typical engine draws, at any width, without texts on texts",
          "[figure][engine]") {
    for (const int cylinders : {1, 2, 3, 4, 6, 8, 12})
        for (const double width : {320.0, 600.0, 1200.0}) {
            const auto out = laid(engine_figure(typical_layout(cylinders)), width);
            std::vector<TextShape> texts;
            for (const auto& shape : out.drawn)
                if (const auto* text = std::get_if<TextShape>(&shape)) texts.push_back(*text);
            for (std::size_t i = 0; i < texts.size(); ++i)
                for (std::size_t j = 0; j < i; ++j) {
                    CAPTURE(cylinders, width, texts[i].text, texts[j].text);
                    CHECK_FALSE(overlap(texts[i].box.grown(-1.0), texts[j].box.grown(-1.0)));
                }
        }
    CHECK(laid(engine_figure(Layout{}), 400).panels.empty());
}
