#include "desk/imgui_painter.hpp"

#include <algorithm>
#include <cmath>

#include "desk/jagged_line.hpp"

namespace cranknote::desk {

using figure::Colour;
using figure::Point;

figure::Size ImguiMeasure::size_of(std::string_view text, const figure::TextStyle& style) {
    const auto* cut = look_.cut(style.size, style.weight);
    if (!cut) return {0.55 * style.size * static_cast<double>(text.size()), 1.2 * style.size};
    const auto size = cut->font->CalcTextSizeA(cut->line_for(style.size), 1e9f, 0.0f, text.data(),
                                               text.data() + text.size());
    return {static_cast<double>(size.x), 1.2 * style.size};
}

double ImguiMeasure::ascent_of(const figure::TextStyle& style) { return 0.95 * style.size; }

void ImguiPainter::stroke_points(ImU32 colour, bool closed, float width) {
    if (has_sharp_turn(points_, closed)) {
        if (closed) points_.push_back(points_.front());
        jagged_line(list_, points_, colour, width);
        return;
    }
    list_.AddPolyline(points_.data(), static_cast<int>(points_.size()), colour,
                      closed ? ImDrawFlags_Closed : ImDrawFlags_None, width);
}

void ImguiPainter::polyline(const std::vector<Point>& points, bool closed, const figure::Stroke& stroke) {
    if (points.size() < 2) return;
    if (!stroke.dash.empty()) {
        dashed(points, closed, stroke);
        return;
    }
    points_.clear();
    for (const auto& p : points) {
        const auto q = at(p);
        // Points closer than a fifth of a pixel only make the joints ragged.
        if (points_.empty() || std::abs(q.x - points_.back().x) + std::abs(q.y - points_.back().y) > 0.2f)
            points_.push_back(q);
    }
    if (points_.size() < 2) points_.push_back(at(points.back()));
    stroke_points(packed(stroke.colour), closed, static_cast<float>(stroke.width));
}

void ImguiPainter::dashed(const std::vector<Point>& points, bool closed, const figure::Stroke& stroke) {
    const auto colour = packed(stroke.colour);
    const auto width = static_cast<float>(stroke.width);
    std::size_t step = 0;
    double left = stroke.dash[0];
    points_.assign(1, at(points.front()));
    const std::size_t count = points.size() + (closed ? 1 : 0);
    for (std::size_t i = 1; i < count; ++i) {
        Point from = points[i - 1];
        const Point to = points[i % points.size()];
        double rest = figure::length(to - from);
        while (rest > 1e-9) {
            const double go = std::min(rest, left);
            from = from + (go / rest) * (to - from);
            rest -= go;
            left -= go;
            if (step % 2 == 0) points_.push_back(at(from));
            if (left > 1e-9) continue;
            if (step % 2 == 0 && points_.size() > 1) stroke_points(colour, false, width);
            ++step;
            left = std::max(0.5, stroke.dash[step % stroke.dash.size()]);
            points_.assign(1, at(from));
        }
    }
    if (step % 2 == 0 && points_.size() > 1) stroke_points(colour, false, width);
}

void ImguiPainter::polygon(const std::vector<Point>& points, Colour fill) {
    if (points.size() < 3) return;
    points_.clear();
    for (const auto& p : points) points_.push_back(at(p));
    // The library smooths the edges of polygons that run clockwise on the screen.
    double twice_area = 0.0;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const Point a = points[i], b = points[(i + 1) % points.size()];
        twice_area += a.x * b.y - b.x * a.y;
    }
    if (twice_area < 0.0) std::reverse(points_.begin(), points_.end());
    // Parts of one area (its triangles) must meet without a seam, so they are not smoothed.
    const auto flags = list_.Flags;
    if (points.size() == 3) list_.Flags &= ~ImDrawListFlags_AntiAliasedFill;
    list_.AddConvexPolyFilled(points_.data(), static_cast<int>(points_.size()), packed(fill));
    list_.Flags = flags;
}

void ImguiPainter::strip(const std::vector<Point>& upper, const std::vector<Point>& lower, Colour fill) {
    const auto n = std::min(upper.size(), lower.size());
    if (n < 2) return;
    const auto colour = packed(fill);
    const auto uv = ImGui::GetFontTexUvWhitePixel();
    list_.PrimReserve(static_cast<int>(6 * (n - 1)), static_cast<int>(2 * n));
    const auto base = list_._VtxCurrentIdx;
    for (std::size_t i = 0; i < n; ++i) {
        list_.PrimWriteVtx(at(upper[i]), uv, colour);
        list_.PrimWriteVtx(at(lower[i]), uv, colour);
    }
    for (unsigned i = 0; i + 1 < n; ++i)
        for (const unsigned k : {0u, 1u, 2u, 2u, 1u, 3u})
            list_.PrimWriteIdx(static_cast<ImDrawIdx>(base + 2 * i + k));
}

void ImguiPainter::circle(Point centre, double radius, const std::optional<Colour>& fill,
                          const std::optional<figure::Stroke>& stroke) {
    if (fill) list_.AddCircleFilled(at(centre), static_cast<float>(radius), packed(*fill));
    if (!stroke) return;
    if (stroke->dash.empty()) {
        list_.AddCircle(at(centre), static_cast<float>(radius), packed(stroke->colour), 0,
                        static_cast<float>(stroke->width));
        return;
    }
    std::vector<Point> round;
    for (int i = 0; i < 90; ++i) {
        const double a = 6.283185307179586 * i / 90.0;
        round.push_back(centre + radius * Point{std::cos(a), std::sin(a)});
    }
    dashed(round, true, *stroke);
}

void ImguiPainter::text(Point p, std::string_view words, const figure::TextStyle& style) {
    const auto* cut = look_.cut(style.size, style.weight);
    if (!cut) return;
    const float line = cut->line_for(style.size);
    auto place = at(p);
    place.y -= cut->font->Ascent * line / cut->font->FontSize;  // the library places text by its top
    place.x = std::floor(place.x + 0.5f);
    place.y = std::floor(place.y + 0.5f);
    list_.AddText(cut->font, line, place, packed(style.colour), words.data(), words.data() + words.size());
}

void ImguiPainter::picture(const figure::Box& box, const figure::Picture& picture) {
    // As filled cells: a heat map of a few thousand cells, without a texture of its own to look after.
    if (picture.width < 1 || picture.height < 1) return;
    const auto cell_w = static_cast<float>(box.width() / picture.width),
               cell_h = static_cast<float>(box.height() / picture.height);
    const auto from = at({box.x0, box.y0});
    for (int row = 0; row < picture.height; ++row)
        for (int first = 0; first < picture.width;) {
            const auto index = [&](int column) {
                return static_cast<std::size_t>(row) * static_cast<std::size_t>(picture.width) +
                       static_cast<std::size_t>(column);
            };
            int last = first + 1;
            const auto rgb = picture.rgb[index(first)];
            while (last < picture.width && picture.rgb[index(last)] == rgb) ++last;
            list_.AddRectFilled(
                {from.x + cell_w * static_cast<float>(first), from.y + cell_h * static_cast<float>(row)},
                {from.x + cell_w * static_cast<float>(last), from.y + cell_h * static_cast<float>(row + 1)},
                packed(figure::colour_of(rgb)));
            first = last;
        }
}

void ImguiPainter::clip(const figure::Box& box) {
    unclip();
    list_.PushClipRect(at({box.x0, box.y0}), at({box.x1, box.y1}), true);
    clipped_ = true;
}

void ImguiPainter::unclip() {
    if (clipped_) list_.PopClipRect();
    clipped_ = false;
}

}  // namespace cranknote::desk
