#include "desk/jagged_line.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace cranknote::desk {

namespace {

ImVec2 direction(ImVec2 from, ImVec2 to) {
    const float x = to.x - from.x, y = to.y - from.y, length = std::hypot(x, y);
    return length > 0.0f ? ImVec2{x / length, y / length} : ImVec2{1.0f, 0.0f};
}

float cosine(ImVec2 a, ImVec2 b) { return a.x * b.x + a.y * b.y; }

/// How far a piece must reach over its end so that it meets the next at the outside of the turn: half the
/// width times the tangent of half the angle.
float overlap(ImVec2 before, ImVec2 after, float half) {
    const float c = std::clamp(cosine(before, after), -1.0f, 1.0f);
    return c <= 0.0f ? half : half * std::sqrt((1.0f - c) / (1.0f + c));
}

/// One straight piece: a core in full colour between two soft edges of a pixel.
void piece(ImDrawList& list, ImVec2 from, ImVec2 to, ImU32 colour, float width) {
    const ImVec2 d = direction(from, to), n{-d.y, d.x};
    // A line thinner than a pixel is a pixel wide and fainter.
    const float core = std::max(0.0f, (width - 1.0f) / 2.0f), soft = core + 1.0f;
    const ImU32 alpha =
        static_cast<ImU32>(static_cast<float>(colour >> IM_COL32_A_SHIFT) * std::min(1.0f, width));
    const ImU32 none = colour & ~IM_COL32_A_MASK, full = none | (alpha << IM_COL32_A_SHIFT);
    const auto uv = ImGui::GetFontTexUvWhitePixel();
    const std::array<std::pair<float, ImU32>, 4> across{
        {{-soft, none}, {-core, full}, {core, full}, {soft, none}}};
    list.PrimReserve(18, 8);
    const auto base = list._VtxCurrentIdx;
    for (const auto end : {from, to})
        for (const auto& [off, ink] : across)
            list.PrimWriteVtx({end.x + off * n.x, end.y + off * n.y}, uv, ink);
    for (unsigned i = 0; i < 3; ++i)
        for (const unsigned k : {i, i + 1, i + 4, i + 4, i + 1, i + 5})
            list.PrimWriteIdx(static_cast<ImDrawIdx>(base + k));
}

}  // namespace

bool has_sharp_turn(const std::vector<ImVec2>& points, bool closed) {
    const std::size_t count = points.size();
    if (count < 3) return false;
    const auto direction_of = [&](std::size_t i) {
        return direction(points[i % count], points[(i + 1) % count]);
    };
    const std::size_t turns = closed ? count : count - 2;
    for (std::size_t i = 0; i < turns; ++i)
        if (cosine(direction_of(i), direction_of(i + 1)) < 0.5f) return true;
    return false;
}

void jagged_line(ImDrawList& list, const std::vector<ImVec2>& points, ImU32 colour, float width) {
    const float half = width / 2.0f;
    for (std::size_t i = 0; i + 1 < points.size(); ++i) {
        const auto here = direction(points[i], points[i + 1]);
        const float back = i == 0 ? 0.0f : overlap(direction(points[i - 1], points[i]), here, half);
        const float on =
            i + 2 == points.size() ? 0.0f : overlap(here, direction(points[i + 1], points[i + 2]), half);
        piece(list, {points[i].x - back * here.x, points[i].y - back * here.y},
              {points[i + 1].x + on * here.x, points[i + 1].y + on * here.y}, colour, width);
    }
}

}  // namespace cranknote::desk
