#include "desk/crowded.hpp"

#include <catch2/catch.hpp>

using namespace cranknote;

namespace {

figure::TextShape text_at(const char* text, figure::Box box) { return {{box.x0, box.y1}, text, {}, box}; }

}  // namespace

TEST_CASE("a text beyond the figure, over another, or cut is found, and nothing else") {
    figure::LaidOut laid;
    laid.size = {100, 50};
    laid.drawn = {text_at("here", {0, 0, 30, 12}), text_at("below", {0, 10, 30, 22})};
    CHECK(desk::crowded(laid).empty());  // lines of one text touch by a sixth of their height
    laid.drawn.push_back(text_at("out", {90, 0, 110, 12}));
    laid.drawn.push_back(text_at("cut\u2026", {40, 30, 60, 42}));
    laid.drawn.push_back(text_at("over", {45, 33, 70, 45}));
    const auto found = desk::crowded(laid);
    REQUIRE(found.size() == 3);
    CHECK(found[0] == "\"out\" reaches beyond the figure");
    CHECK(found[1] == "\"cut\u2026\" is cut");
    CHECK(found[2] == "\"over\" lies over \"cut\u2026\"");
}
