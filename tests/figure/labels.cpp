#include "figure/labels.hpp"

#include <catch2/catch.hpp>
#include <random>

#include "within.hpp"

using namespace cranknote::figure;
using cranknote::test::within;

namespace {

/// A flag's text and its leader (straight down to row -1), as boxes.
Box text_box(const FlagPlace& p, double width) {
    return {p.left, -10.0 * (p.row + 1) + 1.0, p.left + width, -10.0 * p.row - 1.0};
}

}  // namespace

TEST_CASE("flags: no label covers another or another's leader", "[figure][labels]") {
    std::mt19937 random(7);
    std::uniform_real_distribution<double> at(0.0, 600.0), wide(30.0, 180.0), weigh(0.0, 1.0);
    int shown = 0, wanted_in_all = 0;
    for (int round = 0; round < 400; ++round) {
        std::vector<FlagRequest> wanted;
        for (int i = 0; i < 1 + round % 9; ++i) wanted.push_back({at(random), wide(random), weigh(random)});
        const auto places = place_flags(wanted, 0.0, 600.0, 5, 5.0);
        wanted_in_all += static_cast<int>(wanted.size());
        for (std::size_t i = 0; i < places.size(); ++i) {
            if (!places[i].shown) continue;
            ++shown;
            const Box mine = text_box(places[i], wanted[i].width);
            CHECK(mine.x0 >= -1e-9);
            CHECK(mine.x1 <= 600.0 + 1e-9);
            CHECK(places[i].knee_x >= mine.x0);
            CHECK(places[i].knee_x <= mine.x1);
            for (std::size_t j = 0; j < places.size(); ++j) {
                if (j == i || !places[j].shown) continue;
                if (j < i) CHECK_FALSE(overlap(mine, text_box(places[j], wanted[j].width)));
                const bool passes = places[j].row > places[i].row;
                const bool through = places[j].knee_x > mine.x0 && places[j].knee_x < mine.x1;
                CHECK_FALSE((passes && through));
                if (wanted[i].x < wanted[j].x)
                    CHECK(places[i].knee_x <= places[j].knee_x);  // leaders do not cross
            }
        }
    }
    CHECK(shown > wanted_in_all * 9 / 10);  // 5 rows of 600 hold nearly all of at most 9 labels of about 100
}

TEST_CASE("flags: where there is no room the lightest go", "[figure][labels]") {
    const std::vector<FlagRequest> wanted{{50, 90, 0.1}, {52, 90, 0.9}, {54, 90, 0.5}};
    const auto places = place_flags(wanted, 0, 100, 2, 5);
    CHECK_FALSE(places[0].shown);
    CHECK(places[1].shown);
    CHECK_FALSE(place_flags({{50, 200, 1}}, 0, 100, 3, 5)[0].shown);
}

TEST_CASE("spread: apart, in order, as little moved as possible", "[figure][labels]") {
    const auto y = spread_apart({10, 11, 50}, {10, 10, 10}, 0, 0, 100);
    CHECK_THAT(y[0], within(5.5, 1e-9, "the mean of the two is kept"));
    CHECK_THAT(y[1], within(15.5, 1e-9, "ten apart"));
    CHECK_THAT(y[2], within(50.0, 1e-9, "it has room already"));
    const auto low = spread_apart({-20, -20}, {10, 10}, 2, 0, 100);
    CHECK_THAT(low[0], within(5.0, 1e-9, "half its size from the edge"));
    CHECK_THAT(low[1], within(17.0, 1e-9, "its size and the gap further"));
}

TEST_CASE("callouts: labels apart and leaders of a column uncrossed", "[figure][labels]") {
    std::mt19937 random(3);
    std::uniform_real_distribution<double> x(200, 400), y(0, 300);
    for (int round = 0; round < 200; ++round) {
        std::vector<CalloutRequest> wanted;
        for (int i = 0; i < 3 + round % 10; ++i) wanted.push_back({{x(random), y(random)}, {90, 26}, 1.0});
        const auto places = place_callouts(wanted, {200, 0, 400, 300}, 0, 300, 10);
        for (std::size_t i = 0; i < places.size(); ++i) {
            REQUIRE(places[i].shown);
            for (std::size_t j = 0; j < i; ++j) {
                CHECK_FALSE(overlap(places[i].box, places[j].box));
                if (places[i].on_left == places[j].on_left)
                    CHECK_FALSE(
                        segments_cross(places[i].leader, wanted[i].at, places[j].leader, wanted[j].at));
            }
        }
    }
}
