// A sharp peak is drawn without a gap: every pixel along its flanks and at its tip lies within the stroke.
#include "desk/jagged_line.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "desk/bench.hpp"

using namespace cranknote;

namespace {

/// Whether a triangle of the list in full colour covers a place.
bool covered(const ImDrawList& list, ImVec2 at) {
    const auto side = [&](ImVec2 a, ImVec2 b) {
        return (b.x - a.x) * (at.y - a.y) - (b.y - a.y) * (at.x - a.x);
    };
    for (int i = 0; i + 2 < list.IdxBuffer.Size; i += 3) {
        const auto& a = list.VtxBuffer[list.IdxBuffer[i]];
        const auto& b = list.VtxBuffer[list.IdxBuffer[i + 1]];
        const auto& c = list.VtxBuffer[list.IdxBuffer[i + 2]];
        if (((a.col & b.col & c.col) >> IM_COL32_A_SHIFT) != 0xFF) continue;
        const float u = side(a.pos, b.pos), v = side(b.pos, c.pos), w = side(c.pos, a.pos);
        if ((u >= 0 && v >= 0 && w >= 0) || (u <= 0 && v <= 0 && w <= 0)) return true;
    }
    return false;
}

}  // namespace

TEST_CASE("a peak half a pixel wide is drawn from foot to tip") {
    const test::Bench bench;  // the library needs a context for its white pixel
    const std::vector<ImVec2> peak{{10, 100}, {20, 100}, {20.25f, 20}, {20.5f, 100}, {30, 100}};
    REQUIRE(desk::has_sharp_turn(peak, false));
    ImDrawList list(ImGui::GetDrawListSharedData());
    list._ResetForNewFrame();
    list.PushClipRectFullScreen();
    list.PushTextureID(nullptr);
    desk::jagged_line(list, peak, IM_COL32(0, 0, 0, 255), 3.0f);
    for (float y = 19.0f; y <= 100.0f; y += 1.0f) {
        INFO("at " << y);
        CHECK(covered(list, {20.25f, y}));
    }
    for (float x = 10.0f; x <= 30.0f; x += 1.0f) CHECK(covered(list, {x, 100}));
    CHECK_FALSE(covered(list, {20.25f, 17.0f}));  // no longer than half the width beyond its tip
}

TEST_CASE("a smooth line has no sharp turn, a square has four") {
    std::vector<ImVec2> round;
    for (int i = 0; i < 40; ++i) {
        const float angle = 0.157f * static_cast<float>(i);
        round.push_back({50.0f * std::cos(angle), 50.0f * std::sin(angle)});
    }
    CHECK_FALSE(desk::has_sharp_turn(round, true));
    CHECK(desk::has_sharp_turn({{0, 0}, {10, 0}, {10, 10}, {0, 10}}, true));
    CHECK_FALSE(desk::has_sharp_turn({{0, 0}, {10, 0}}, false));
}
