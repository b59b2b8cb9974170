// A figure with every shape and text in its place: what a painter paints, and what a pointer can be asked
// about.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "figure/figure.hpp"
#include "figure/painter.hpp"

namespace cranknote::figure {

struct PolylineShape {
    std::vector<Point> points;
    bool closed = false;
    Stroke stroke;
};
struct PolygonShape {  ///< convex
    std::vector<Point> points;
    Colour fill;
};
struct StripShape {
    std::vector<Point> upper, lower;
    Colour fill;
};
struct CircleShape {
    Point centre;
    double radius = 0.0;
    std::optional<Colour> fill;
    std::optional<Stroke> stroke;
};
struct TextShape {
    Point at;  ///< left end of the baseline
    std::string text;
    TextStyle style;
    Box box;  ///< as measured
};
struct PictureShape {
    Box box;
    Picture picture;
};
struct ClipShape {
    std::optional<Box> box;  ///< absent: no clip any more
};
using Drawn =
    std::variant<PolylineShape, PolygonShape, StripShape, CircleShape, TextShape, PictureShape, ClipShape>;

/// Where a panel's data lie on the page.
struct LaidPanel {
    Box plot;
    DataAxis x, y;
    bool drawing = false;
    [[nodiscard]] double x_px(double value) const;
    [[nodiscard]] double y_px(double value) const;
    [[nodiscard]] Point px(Point data) const { return {x_px(data.x), y_px(data.y)}; }
    [[nodiscard]] Point data(Point px) const;
};

/// Something that the pointer can be on. Areas are closed polygons, strokes open lines.
struct Target {
    std::string id;
    bool area = true;
    std::vector<Point> points;
};

struct LaidOut {
    Size size;
    Colour paper;
    std::vector<Drawn> drawn;
    std::vector<LaidPanel> panels;
    std::vector<Target> targets;  ///< the uppermost last
    std::string description;
    std::size_t left_out = 0;  ///< labels for which there was no room
};

/// Lays a figure out on `size` (px). Every text is measured by `measure`, which must be the painter's own.
[[nodiscard]] LaidOut lay_out(const Figure& figure, Size size, const Theme& theme, TextMeasure& measure);

/// The uppermost target within `reach` px of a point; nullptr if there is none.
[[nodiscard]] const Target* under(const LaidOut& laid, Point p, double reach = 6.0);
/// The panel whose plot holds a point; nullptr if none does.
[[nodiscard]] const LaidPanel* panel_under(const LaidOut& laid, Point p);

/// Paints, the paper first unless `with_paper` is false.
void paint(const LaidOut& laid, Painter& painter, bool with_paper = true);

}  // namespace cranknote::figure
