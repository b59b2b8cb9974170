// Elements to shapes, inside one panel whose plot and axes have their places.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "figure/sheet.hpp"

namespace cranknote::figure {

namespace {

/// Lines that are denser than the page: the least and the greatest of each pixel column, in order of x.
class Columns {
  public:
    Columns(const LaidPanel& laid, Sheet& sheet, const Stroke& stroke)
        : laid_(laid), sheet_(sheet), stroke_(stroke) {}

    void add(double x, double y) {
        if (!std::isfinite(x) || !std::isfinite(y)) return flush();
        const Point p = laid_.px({x, y});
        if (p.x < laid_.plot.x0 - 40.0 || p.x > laid_.plot.x1 + 40.0) return;
        const double column = std::floor(p.x * 2.0);
        if (column != column_) end_column();
        column_ = column;
        if (count_ == 0) first_ = least_ = greatest_ = p;
        if (p.y < least_.y) least_ = p;
        if (p.y > greatest_.y) greatest_ = p;
        last_ = p;
        ++count_;
    }
    void flush() {
        end_column();
        sheet_.polyline(std::move(points_), false, stroke_);
        points_.clear();
    }

  private:
    void end_column() {
        if (count_ == 0) return;
        points_.push_back(first_);
        if (count_ > 2) {
            const auto [a, b] = std::minmax(least_, greatest_, [](Point p, Point q) { return p.x < q.x; });
            if (!(a == first_) && !(a == last_)) points_.push_back(a);
            if (!(b == first_) && !(b == last_) && !(b == a)) points_.push_back(b);
        }
        if (count_ > 1) points_.push_back(last_);
        count_ = 0;
    }
    const LaidPanel& laid_;
    Sheet& sheet_;
    Stroke stroke_;
    std::vector<Point> points_;
    Point first_, last_, least_, greatest_;
    double column_ = -1e9;
    std::size_t count_ = 0;
};

struct ElementLayer {
    Sheet& sheet;
    const LaidPanel& laid;
    const Panel& panel;

    [[nodiscard]] bool rows() const { return !laid.y.rows.empty(); }

    void operator()(const Line& e) const {
        Columns columns(laid, sheet, sheet.stroke(e.ink));
        sheet.clip(laid.plot);
        for (std::size_t i = 0; i < std::min(e.x.size(), e.y.size()); ++i) columns.add(e.x[i], e.y[i]);
        columns.flush();
        sheet.unclip();
        if (e.id.empty()) return;
        std::vector<Point> points;
        for (std::size_t i = 0; i < std::min(e.x.size(), e.y.size()); ++i)
            points.push_back(laid.px({e.x[i], e.y[i]}));
        sheet.target(e.id, std::move(points), false);
    }

    void operator()(const Ribbon& e) const {
        sheet.clip(laid.plot);
        StripShape strip{{}, {}, sheet.theme.area(e.ink)};
        const auto flush = [&] {
            if (strip.upper.size() > 1) sheet.put(strip);
            strip.upper.clear();
            strip.lower.clear();
        };
        const auto n = std::min({e.x.size(), e.low.size(), e.high.size()});
        for (std::size_t i = 0; i < n; ++i) {
            if (!std::isfinite(e.low[i]) || !std::isfinite(e.high[i])) {
                flush();
                continue;
            }
            const Point top = laid.px({e.x[i], e.high[i]}), bottom = laid.px({e.x[i], e.low[i]});
            if (top.x < laid.plot.x0 - 40.0 || top.x > laid.plot.x1 + 40.0) continue;
            if (!strip.upper.empty() && top.x - strip.upper.back().x < 0.5) {  // denser than the page
                strip.upper.back().y = std::min(strip.upper.back().y, top.y);
                strip.lower.back().y = std::max(strip.lower.back().y, bottom.y);
            } else {
                strip.upper.push_back(top);
                strip.lower.push_back(bottom);
            }
        }
        flush();
        sheet.unclip();
    }

    void operator()(const Span& e) const {
        Box box{laid.x_px(e.from), laid.plot.y0, laid.x_px(e.to), laid.plot.y1};
        const double least = 3.0 * sheet.theme.scale;  // a single line still has a body
        if (box.width() < least)
            box = {box.centre().x - least / 2, box.y0, box.centre().x + least / 2, box.y1};
        box.x0 = std::max(box.x0, laid.plot.x0);
        box.x1 = std::min(box.x1, laid.plot.x1);
        if (box.x1 <= box.x0) return;
        if (e.fill) sheet.box(box, sheet.theme.area(e.ink));
        if (e.edges) {
            const auto stroke = sheet.stroke(e.ink, 0.6);
            sheet.line({box.x0, box.y0}, {box.x0, box.y1}, stroke);
            sheet.line({box.x1, box.y0}, {box.x1, box.y1}, stroke);
        }
        sheet.target(e.id, box);
    }

    void operator()(const Rule& e) const {
        const auto& plot = laid.plot;
        const Point a = e.vertical ? Point{laid.x_px(e.at), plot.y0} : Point{plot.x0, laid.y_px(e.at)};
        const Point b = e.vertical ? Point{laid.x_px(e.at), plot.y1} : Point{plot.x1, laid.y_px(e.at)};
        if (!plot.grown(0.5).contains(a)) return;
        sheet.line(a, b, sheet.stroke(e.ink));
        if (e.text.empty()) return;
        const auto style = sheet.style(sheet.theme.small(), e.ink);
        const double height = sheet.line_height(style);
        const double width = sheet.width_of(e.text, style), above = a.y - height - 1.0;
        const double x = e.vertical ? std::min(a.x + 4.0, plot.x1 - width) : plot.x1 - width;
        const double top = e.vertical ? plot.y0 + 1.0 : above < plot.y0 ? a.y + 1.0 : above;
        sheet.box(Box{x, top, x + width, top + height}.grown(1.0), sheet.theme.paper().faded(0.8));
        sheet.text(x, top, Align::left, e.text, style);
    }

    void shape(Point at, Shape shape, Ink ink, double r) const;

    void operator()(const Mark& e) const {
        const Point at = laid.px({e.x, e.y});
        const double r = 4.0 * sheet.theme.scale;
        Point left = at, right = at;
        if (e.interval) {
            left = rows() ? laid.px({e.interval->first, e.y}) : laid.px({e.x, e.interval->first});
            right = rows() ? laid.px({e.interval->second, e.y}) : laid.px({e.x, e.interval->second});
            const auto clamp = [&](Point p) {
                return Point{std::clamp(p.x, laid.plot.x0, laid.plot.x1),
                             std::clamp(p.y, laid.plot.y0, laid.plot.y1)};
            };
            left = clamp(left);
            right = clamp(right);
            sheet.line(left, right, {sheet.theme.colour(e.ink), 2.0 * sheet.theme.scale, {}});
        }
        shape(at, e.shape, e.ink, r);
        sheet.target(e.id, Box{at.x, at.y, at.x, at.y}.grown(2.0 * r));
        if (e.text.empty()) return;
        const auto style = sheet.style(sheet.theme.small(), e.text_ink, Weight::medium);
        const double width = sheet.width_of(e.text, style), top = at.y - sheet.line_height(style) / 2.0;
        const double after = std::max(at.x, right.x) + 2.0 * r, before = std::min(at.x, left.x) - 2.0 * r;
        const bool fits = after + width <= laid.plot.x1 || before - width < laid.plot.x0;
        sheet.text(fits ? after : before, top, fits ? Align::left : Align::right, e.text, style);
    }

    void operator()(const Flag&) const {}  // laid out with the panel's gutter

    void operator()(const Bar& e) const {
        const double half = (laid.y_px(0.0) - laid.y_px(1.0)) / 2.0;
        const double y = laid.y_px(e.row), thick = std::min(std::abs(half) * 0.5, 7.0 * sheet.theme.scale);
        const double shift = laid.y.rows_above ? std::abs(half) * 0.42 : 0.0;
        const double a = laid.x_px(e.from), b = laid.x_px(e.to);
        const Box box{std::min(a, b), y + shift - thick, std::max(a, b), y + shift + thick};
        const Box track{laid.plot.x0, box.y0, laid.plot.x1, box.y1};
        sheet.box(track, mixed(sheet.theme.paper(), sheet.theme.colour(Ink::grid), 0.55));
        sheet.box(box, sheet.theme.colour(e.ink));
        sheet.target(e.id, Box{laid.plot.x0, y - std::abs(half), laid.plot.x1, y + std::abs(half)});
        if (e.text.empty()) return;
        const auto style = sheet.style(sheet.theme.small(), Ink::text, Weight::medium);
        const double gap = sheet.theme.gap() * 0.6, width = sheet.width_of(e.text, style);
        const double top = box.centre().y - sheet.line_height(style) / 2.0;
        const bool fits = box.x1 + gap + width <= laid.plot.x1;
        auto inside = style;
        inside.colour = sheet.theme.paper();
        sheet.text(fits ? box.x1 + gap : box.x1 - gap, top, fits ? Align::left : Align::right, e.text,
                   fits ? style : inside);
    }

    void operator()(const HeatMap& e) const {
        if (e.columns < 1 || e.rows < 1 || e.values.size() < static_cast<std::size_t>(e.columns * e.rows))
            return;
        Picture picture{e.columns, e.rows, {}};
        const auto byte = [](double v) { return static_cast<std::uint32_t>(std::lround(255.0 * v)); };
        for (int row = e.rows - 1; row >= 0; --row)
            for (int column = 0; column < e.columns; ++column) {
                const double v = e.values[static_cast<std::size_t>(row * e.columns + column)];
                const auto c = std::isfinite(v) ? sheet.theme.heat((v - e.low) / (e.high - e.low))
                                                : sheet.theme.colour(Ink::outside);
                picture.rgb.push_back((byte(c.red) << 16) | (byte(c.green) << 8) | byte(c.blue));
            }
        sheet.clip(laid.plot);
        sheet.put(PictureShape{
            {laid.x_px(e.x.first), laid.y_px(e.y.second), laid.x_px(e.x.second), laid.y_px(e.y.first)},
            std::move(picture)});
        sheet.unclip();
    }

    void operator()(const Outline& e) const {
        std::vector<Point> points;
        for (const auto& p : e.points) points.push_back(laid.px(p));
        if (e.fill && e.closed)
            sheet.area(points, e.centre ? std::optional(laid.px(*e.centre)) : std::nullopt,
                       sheet.theme.area(*e.fill));
        if (e.hit != Outline::Hit::nothing) {
            auto line = points;
            if (e.closed && !line.empty() && e.hit == Outline::Hit::line) line.push_back(line.front());
            sheet.target(e.id, std::move(line), e.hit == Outline::Hit::area);
        }
        if (e.stroke) sheet.polyline(std::move(points), e.closed, sheet.stroke(*e.stroke, e.widen));
    }

    void operator()(const Disc& e) const {
        const Point centre = laid.px(e.centre);
        const double radius = laid.x_px(e.centre.x + e.radius) - centre.x;
        sheet.circle(centre, radius, e.fill ? std::optional(sheet.theme.area(*e.fill)) : std::nullopt,
                     e.stroke ? std::optional(sheet.stroke(*e.stroke)) : std::nullopt);
        if (e.target) sheet.target(e.id, arc(centre, radius, 0.0, 2.0 * std::numbers::pi));
    }

    void operator()(const Gauge& e) const {
        const Point centre = laid.px(e.centre);
        const double radius = std::max(laid.x_px(e.centre.x + e.radius) - centre.x, 9.0 * sheet.theme.scale);
        const double top = -std::numbers::pi / 2.0;
        const double share = std::clamp(e.share, 0.0, 1.0), width = 4.5 * sheet.theme.scale;
        sheet.circle(centre, radius, std::nullopt, Stroke{sheet.theme.area(e.ink), width, {}});
        sheet.polyline(arc(centre, radius, top, top + 2.0 * std::numbers::pi * share), false,
                       {sheet.theme.colour(e.ink), width, {}});
    }

    void operator()(const Callout&) const {}  // laid out with the drawing's columns

    void operator()(const Words& e) const {
        const auto style =
            sheet.style(sheet.theme.normal() * e.enlarge, e.ink, e.bold ? Weight::bold : Weight::regular);
        const Point at = laid.px(e.at);
        sheet.text(at.x, at.y - sheet.line_height(style) / 2.0, e.align, e.text, style);
    }
};

void ElementLayer::shape(Point at, Shape shape, Ink ink, double r) const {
    const auto colour = sheet.theme.colour(ink);
    const double width = 1.6 * sheet.theme.scale;
    switch (shape) {
        case Shape::dot:
            return sheet.circle(at, r, colour, std::nullopt);
        case Shape::ring:
            return sheet.circle(at, r, sheet.theme.paper(), Stroke{colour, width, {}});
        case Shape::up:
            return sheet.area({{at.x - r, at.y + r}, {at.x, at.y - r}, {at.x + r, at.y + r}}, {}, colour);
        case Shape::down:
            return sheet.area({{at.x - r, at.y - r}, {at.x + r, at.y - r}, {at.x, at.y + r}}, {}, colour);
        case Shape::diamond:
            return sheet.area({{at.x, at.y - r}, {at.x + r, at.y}, {at.x, at.y + r}, {at.x - r, at.y}}, {},
                              colour);
        case Shape::cross:
            sheet.line({at.x - r, at.y - r}, {at.x + r, at.y + r}, {colour, width, {}});
            return sheet.line({at.x - r, at.y + r}, {at.x + r, at.y - r}, {colour, width, {}});
        case Shape::none:
            return;
    }
}

}  // namespace

void lay_elements(Sheet& sheet, const Panel& panel, const LaidPanel& laid) {
    const ElementLayer layer{sheet, laid, panel};
    for (const auto& element : panel.elements) std::visit(layer, element);
}

void lay_shape(Sheet& sheet, Point at, Shape shape, Ink ink, double radius) {
    const Panel none;
    const LaidPanel nowhere;
    ElementLayer{sheet, nowhere, none}.shape(at, shape, ink, radius);
}

}  // namespace cranknote::figure
