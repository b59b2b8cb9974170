// A figure as plain data: what is to be seen, in the units of the data, without pixels, fonts or a surface.
// Table of contents of this folder.
//
//   figure.hpp          the vocabulary (this file)
//   figures.hpp         the figures of this program: results in, Figure out
//   laid_out.hpp        Figure -> shapes and texts with places; what is under a point; data <-> pixel
//   painter.hpp         what a surface must be able to do; paint(LaidOut, Painter)
//   cairo_painter.hpp   PNG and PDF; svg_painter.hpp: SVG with real text; the window's painter is in desk/
//   theme.hpp           colours, widths, type sizes, light and dark
//   ticks.hpp           human numbers on an axis
//   labels.hpp          labels that never collide
//   belt_path.hpp       how a belt runs round its pulleys
//   placement.hpp       where parts go that have no place in the layout
//   number_text.hpp, utf8.hpp   numbers and typed text, safe to show
#pragma once

#include <limits>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "figure/geometry.hpp"
#include "figure/theme.hpp"

namespace cranknote::figure {

enum class Scale { linear, log };

/// How an axis' numbers are written. dB, rpm and mm stand at the outermost number only; × and Hz at each.
enum class Unit { none, ratio, hertz, decibel, change_decibel, seconds, rpm, percent, millimetres };

/// An axis. With `rows`, it is a list of named rows (row i at position i, the first on top) and the rest of
/// it does not matter. `from` < `to`; y grows upwards.
struct DataAxis {
    std::string label;  ///< what is shown: "level re full scale"
    Unit unit = Unit::none;
    Scale scale = Scale::linear;
    double from = 0.0, to = 1.0;
    std::vector<std::string> rows{};
    bool rows_above = false;  ///< the row's name stands above its bar, not beside it
    /// A second reading of the same axis, `factor` times as large (Hz at a crank speed), named in `label`.
    struct Second {
        double factor = 1.0;
        Unit unit = Unit::hertz;
    };
    std::optional<Second> second{};
    bool hidden = false;  ///< no ticks and no line
};

// Elements. `id` names what the element stands for (a finding, a part), for hit tests; empty: nothing.

struct Line {
    std::string id;
    std::vector<double> x;
    std::vector<float> y;  ///< NaN breaks the line
    Ink ink = Ink::text;
};

/// An interval around a line: from `low` to `high` over x. NaN breaks it.
struct Ribbon {
    std::string id;
    std::vector<double> x;
    std::vector<float> low, high;
    Ink ink = Ink::spread;
};

/// A stretch of the x axis, over the panel's whole height.
struct Span {
    std::string id;
    double from = 0.0, to = 0.0;
    Ink ink = Ink::lit;
    bool edges = false;  ///< thin lines at its ends
    bool fill = true;    ///< false: it only counts in hit tests
};

/// A line across the panel at one value.
struct Rule {
    double at = 0.0;
    bool vertical = false;
    Ink ink = Ink::axis;
    std::string text{};  ///< beside it, where there is room
};

enum class Shape { dot, ring, up, down, diamond, cross, none };

/// A value with its interval, and a word beside it.
struct Mark {
    std::string id;
    double x = 0.0, y = 0.0;
    Shape shape = Shape::dot;
    Ink ink = Ink::text;
    std::optional<std::pair<double, double>> interval{};  ///< along x in a panel of rows, else along y
    std::string text{};
    Ink text_ink = Ink::text;
};

/// A label above the panel with a leader line down to x: the first line is bold.
struct Flag {
    std::string id;
    double x = 0.0,
           y = std::numeric_limits<double>::quiet_NaN();  ///< y NaN: the leader ends at the panel's top
    Shape shape = Shape::none;                            ///< in front of the first line
    std::vector<std::string> lines;
    Ink ink = Ink::text;
    double weight = 1.0;  ///< where there is no room for all, the lightest are left out
};

struct Bar {
    std::string id;
    double row = 0.0;
    double from = 0.0, to = 0.0;
    Ink ink = Ink::doubt;
    std::string text{};  ///< at its end
};

/// Values over x and y, in one hue. Row 0 is the lowest y. NaN: no value.
struct HeatMap {
    std::pair<double, double> x, y;
    int columns = 0, rows = 0;
    std::vector<float> values;  ///< columns × rows, row by row
    double low = 0.0, high = 1.0;
};

/// A shape of a drawing, in data units. Filled shapes must be star-shaped about `centre` (a circle, a wheel
/// with teeth, a convex outline).
struct Outline {
    std::string id;
    std::vector<Point> points;
    bool closed = true;
    std::optional<Point> centre{};  ///< needed for a fill
    std::optional<Ink> fill{}, stroke{Ink::metal};
    double widen = 1.0;                                      ///< of the ink's stroke
    enum class Hit { nothing, line, area } hit = Hit::area;  ///< what of it counts in hit tests
};

struct Disc {
    std::string id;
    Point centre;
    double radius = 0.0;  ///< data units
    std::optional<Ink> fill{}, stroke{Ink::metal};
    bool target = true;
};

/// A probability shown as the filled part of a ring, from the top clockwise. `radius` in data units.
struct Gauge {
    std::string id;
    Point centre;
    double radius = 0.0;
    double share = 0.0;
    Ink ink = Ink::doubt;
};

/// A label of a drawing, in a column beside it, with a leader to `at`.
struct Callout {
    std::string id;
    Point at;
    std::vector<std::string> lines;  ///< the first is medium, the others small and faint
    Ink ink = Ink::text;
    double weight = 1.0;
};

enum class Align { left, centre, right };

/// Text at a place of the data, its middle line there.
struct Words {
    Point at;
    std::string text;
    Align align = Align::centre;
    Ink ink = Ink::text;
    bool bold = false;
    double enlarge = 1.0;
};

using Element =
    std::variant<Line, Ribbon, Span, Rule, Mark, Flag, Bar, HeatMap, Outline, Disc, Gauge, Callout, Words>;

/// One pair of axes, or a drawing (equal scales, no axes). Elements are painted in their order.
struct Panel {
    DataAxis x, y;
    bool drawing = false;
    double share = 1.0;  ///< of the figure's height, against the other panels
    std::vector<Element> elements;
};

/// What a stroke stands for, written beside a sample of it, above the panels.
struct Key {
    Ink ink = Ink::text;
    std::string text;
    bool sample = true;  ///< false: the text alone
};

/// Panels one below the other; those with the same x axis line up, and only the lowest names it.
struct Figure {
    std::string title;
    std::vector<Key> keys;
    std::vector<Panel> panels;
    std::string caption;      ///< below, in small type
    std::string description;  ///< what is to be seen, for a reader who cannot see it
    double aspect = 0.6;      ///< wished height for a width, within the limits
    double least_height = 200.0, most_height = 900.0;
    double narrow_height =
        0.0;              ///< further height where a drawing's names stand below it (narrower than 560 px)
    double margin = 1.0;  ///< of paper around it, in the theme's gaps
    bool keep_height = false;  ///< rows: the height is `least_height`, whatever the width
};

/// The height that suits a width (px at scale 1).
[[nodiscard]] double natural_height(const Figure& figure, double width);

}  // namespace cranknote::figure
