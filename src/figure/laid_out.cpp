#include "figure/laid_out.hpp"

#include <algorithm>
#include <cmath>

namespace cranknote::figure {

namespace {

/// Where `value` lies between from (0) and to (1).
double share_of(const DataAxis& axis, double value) {
    if (axis.scale == Scale::log) return std::log(value / axis.from) / std::log(axis.to / axis.from);
    return (value - axis.from) / (axis.to - axis.from);
}

double value_at(const DataAxis& axis, double share) {
    if (axis.scale == Scale::log) return axis.from * std::pow(axis.to / axis.from, share);
    return axis.from + share * (axis.to - axis.from);
}

bool inside(const std::vector<Point>& polygon, Point p) {
    bool in = false;
    for (std::size_t i = 0, j = polygon.size() - 1; i < polygon.size(); j = i++) {
        const Point a = polygon[i], b = polygon[j];
        if ((a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x) in = !in;
    }
    return in;
}

bool hit(const Target& target, Point p, double reach) {
    if (target.area && inside(target.points, p)) return true;
    for (std::size_t i = 0; i + 1 < target.points.size(); ++i)
        if (!target.area && distance_to_segment(p, target.points[i], target.points[i + 1]) <= reach)
            return true;
    return false;
}

struct Brush {
    Painter& to;
    void operator()(const PolylineShape& s) const { to.polyline(s.points, s.closed, s.stroke); }
    void operator()(const PolygonShape& s) const { to.polygon(s.points, s.fill); }
    void operator()(const StripShape& s) const { to.strip(s.upper, s.lower, s.fill); }
    void operator()(const CircleShape& s) const { to.circle(s.centre, s.radius, s.fill, s.stroke); }
    void operator()(const TextShape& s) const { to.text(s.at, s.text, s.style); }
    void operator()(const PictureShape& s) const { to.picture(s.box, s.picture); }
    void operator()(const ClipShape& s) const { s.box ? to.clip(*s.box) : to.unclip(); }
};

}  // namespace

double LaidPanel::x_px(double value) const { return plot.x0 + share_of(x, value) * plot.width(); }

double LaidPanel::y_px(double value) const {
    if (!y.rows.empty()) return plot.y0 + (value + 0.5) / static_cast<double>(y.rows.size()) * plot.height();
    return plot.y1 - share_of(y, value) * plot.height();
}

Point LaidPanel::data(Point px) const {
    const double row = (px.y - plot.y0) / plot.height() * static_cast<double>(y.rows.size()) - 0.5;
    return {value_at(x, (px.x - plot.x0) / plot.width()),
            y.rows.empty() ? value_at(y, (plot.y1 - px.y) / plot.height()) : row};
}

const Target* under(const LaidOut& laid, Point p, double reach) {
    const Target* found = nullptr;
    for (const auto& target : laid.targets)
        if (hit(target, p, reach)) found = &target;
    return found;
}

const LaidPanel* panel_under(const LaidOut& laid, Point p) {
    const auto found = std::find_if(laid.panels.begin(), laid.panels.end(),
                                    [&](const LaidPanel& panel) { return panel.plot.contains(p); });
    return found == laid.panels.end() ? nullptr : &*found;
}

void paint(const LaidOut& laid, Painter& painter, bool with_paper) {
    if (with_paper)
        painter.polygon(
            {{0, 0}, {laid.size.width, 0}, {laid.size.width, laid.size.height}, {0, laid.size.height}},
            laid.paper);
    for (const auto& shape : laid.drawn) std::visit(Brush{painter}, shape);
}

double natural_height(const Figure& figure, double width) {
    if (figure.keep_height) return figure.least_height;
    const double narrow = width < 576.0 ? figure.narrow_height : 0.0;
    return std::clamp(width * figure.aspect, figure.least_height, figure.most_height) + narrow;
}

}  // namespace cranknote::figure
