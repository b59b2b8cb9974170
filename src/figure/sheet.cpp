#include "figure/sheet.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "figure/utf8.hpp"

namespace cranknote::figure {

Box Sheet::text(double x, double top, Align align, std::string_view text, const TextStyle& style) {
    const auto clean = clean_line(text);
    const auto size = measure_.size_of(clean, style);
    const double left = align == Align::left    ? x
                        : align == Align::right ? x - size.width
                                                : x - size.width / 2.0;
    const Box box{left, top, left + size.width, top + size.height};
    if (!clean.empty())
        out_.drawn.push_back(TextShape{{left, top + measure_.ascent_of(style)}, clean, style, box});
    return box;
}

std::string Sheet::fitted(std::string_view text, const TextStyle& style, double width) {
    auto clean = clean_line(text);
    if (width_of(clean, style) <= width) return clean;
    std::size_t low = 0, high = code_points(clean).size();  // the longest that fits
    while (low < high) {
        const std::size_t middle = (low + high + 1) / 2;
        if (width_of(shortened(clean, middle), style) <= width)
            low = middle;
        else
            high = middle - 1;
    }
    return shortened(clean, low);
}

std::vector<std::string> Sheet::broken(std::string_view text, const TextStyle& style, double width,
                                       std::size_t most) {
    std::vector<std::string> lines;
    std::string rest = clean_line(text), line;
    while (!rest.empty()) {
        const auto end = std::min(rest.find(' '), rest.size());
        const auto word = rest.substr(0, end);
        const auto longer = line.empty() ? word : line + " " + word;
        if (!line.empty() && width_of(longer, style) > width) {
            if (lines.size() + 1 == most) {
                lines.push_back(fitted(line + " " + rest, style, width));
                return lines;
            }
            lines.push_back(fitted(line, style, width));
            line = word;
        } else {
            line = longer;
        }
        rest.erase(0, std::min(end + 1, rest.size()));
    }
    if (!line.empty()) lines.push_back(fitted(line, style, width));
    return lines;
}

void Sheet::polyline(std::vector<Point> points, bool closed, const Stroke& stroke) {
    if (points.size() > 1) out_.drawn.push_back(PolylineShape{std::move(points), closed, stroke});
}

void Sheet::area(const std::vector<Point>& points, std::optional<Point> centre, Colour fill) {
    if (points.size() < 3) return;
    if (!centre || is_convex(points)) {
        out_.drawn.push_back(PolygonShape{points, fill});
        return;
    }
    auto upper = points;
    upper.push_back(points.front());
    out_.drawn.push_back(StripShape{upper, std::vector<Point>(upper.size(), *centre), fill});
}

void Sheet::box(const Box& box, Colour fill) { out_.drawn.push_back(PolygonShape{corners(box), fill}); }

void Sheet::target(const std::string& id, std::vector<Point> points, bool area) {
    if (!id.empty() && points.size() > 1) out_.targets.push_back({id, area, std::move(points)});
}

void Sheet::target(const std::string& id, const Box& box) { target(id, corners(box)); }

std::vector<Point> corners(const Box& b) { return {{b.x0, b.y0}, {b.x1, b.y0}, {b.x1, b.y1}, {b.x0, b.y1}}; }

std::vector<Point> arc(Point centre, double radius, double from, double to) {
    constexpr double flatness = 0.03;  // px that a chord may lie inside the circle
    const double step = radius > flatness ? 2.0 * std::acos(1.0 - flatness / radius) : std::numbers::pi;
    const int count = std::max(2, static_cast<int>(std::ceil(std::abs(to - from) / step)) + 1);
    std::vector<Point> points;
    for (int i = 0; i < count; ++i) {
        const double angle = from + (to - from) * i / (count - 1);
        points.push_back({centre.x + radius * std::cos(angle), centre.y + radius * std::sin(angle)});
    }
    return points;
}

bool is_convex(const std::vector<Point>& points) {
    bool left = false, right = false;
    const auto n = points.size();
    for (std::size_t i = 0; i < n; ++i) {
        const Point a = points[(i + 1) % n] - points[i], b = points[(i + 2) % n] - points[(i + 1) % n];
        const double cross = a.x * b.y - a.y * b.x;
        if (cross > 1e-9) left = true;
        if (cross < -1e-9) right = true;
    }
    return !(left && right);
}

}  // namespace cranknote::figure
