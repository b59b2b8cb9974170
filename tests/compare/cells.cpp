#include "compare/cells.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "within.hpp"

using namespace cranknote;
using cranknote::test::within;

namespace {

Cell cell(double change, double error) {
    Cell c;
    c.change = change, c.error = error;
    return c;
}

}  // namespace

TEST_CASE("a single line's change is judged by the ratio of two exponential powers") {
    // F(2,2): P(X > x) = 1 / (1 + x) in closed form; a level of one exponential power has 5.57 dB standard
    // deviation (4.343 times pi / root 6).
    const double one_place = 5.570 * std::sqrt(2.0);
    std::vector<Cell> cells{cell(10.0, one_place), cell(-10.0, one_place), cell(0.0, one_place)};
    judge(cells);
    CHECK_THAT(cells[0].p, within(2.0 / 11.0, 0.002, "5.570 is rounded to a thousandth"));
    CHECK(cells[0].p == cells[1].p);
    CHECK_THAT(cells[2].p, within(1.0, 1e-9, "no change at all"));
}

TEST_CASE("many places give nearly a normal spread, few a heavy tail") {
    std::vector<Cell> cells{cell(3.0, 1.0), cell(3.0 * 7.88, 7.88)};
    judge(cells);
    // Three standard deviations of a normal: 0.0027. Two gammas of 38 places are a little wider.
    CHECK(cells[0].p > 0.0025);
    CHECK(cells[0].p < 0.0045);
    CHECK(cells[1].p > 0.006);
}

TEST_CASE("what is more expected of a kind needs a little less evidence, all together the same") {
    std::vector<Cell> cells;
    for (int i = 0; i < 100; ++i) cells.push_back(cell(0.1, 1.0));
    cells.push_back(cell(4.3, 1.0)), cells.push_back(cell(4.3, 1.0));
    cells[100].weight = 1.5, cells[101].weight = 0.5;
    judge(cells);
    CHECK(cells[100].p == cells[101].p);
    CHECK(cells[100].q < cells[101].q);
}

TEST_CASE("the least change of an octave is the one that is just flagged, alone among all that is tested") {
    std::vector<Cell> cells;
    for (int i = 0; i < 60; ++i) cells.push_back(cell(0.0, 2.0));
    for (int i = 0; i < 15; ++i) {
        auto octave = cell(0.0, 1.6);
        octave.kind = CellKind::band, octave.low = 100.0 * (i + 1), octave.high = 200.0 * (i + 1);
        octave.weight = 1.5;
        cells.push_back(octave);
    }
    const auto least = least_octave(cells, 0.05);
    REQUIRE(least);
    cells.back().change = least->value() + 0.01;
    judge(cells);
    CHECK(cells.back().q <= 0.05);
    cells.back().change = least->value() - 0.01;
    judge(cells);
    CHECK(cells.back().q > 0.05);
    CHECK(least_octave(cells, 0.20)->value() < least->value());
    cells.resize(60);
    CHECK_FALSE(least_octave(cells, 0.05));  // no octave was compared
}
