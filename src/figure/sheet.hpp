// The page on which a figure is laid out: shapes and texts are put on it one after another. Internal to
// figure/; lay_out is made of it.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "figure/laid_out.hpp"

namespace cranknote::figure {

class Sheet {
  public:
    Sheet(LaidOut& out, const Theme& theme_of_page, TextMeasure& measure)
        : theme(theme_of_page), out_(out), measure_(measure) {}

    const Theme& theme;

    [[nodiscard]] TextStyle style(double size, Ink ink, Weight weight = Weight::regular) const {
        return {size, weight, theme.text_colour(ink)};
    }
    [[nodiscard]] Stroke stroke(Ink ink, double widen = 1.0) const {
        return {theme.colour(ink), theme.width(ink) * widen, theme.dash(ink)};
    }
    [[nodiscard]] double width_of(std::string_view text, const TextStyle& s) {
        return measure_.size_of(text, s).width;
    }
    [[nodiscard]] double line_height(const TextStyle& s) { return measure_.size_of("Ag", s).height; }

    /// Puts one line with its top at `top`; `x` is its left, middle or right. Returns the box it takes.
    Box text(double x, double top, Align align, std::string_view text, const TextStyle& style);
    /// The text cut with an ellipsis so that it is at most `width` wide.
    [[nodiscard]] std::string fitted(std::string_view text, const TextStyle& style, double width);
    /// Lines broken at spaces, each at most `width` wide, at most `most` of them.
    [[nodiscard]] std::vector<std::string> broken(std::string_view text, const TextStyle& style, double width,
                                                  std::size_t most);

    void line(Point a, Point b, const Stroke& stroke) {
        out_.drawn.push_back(PolylineShape{{a, b}, false, stroke});
    }
    void polyline(std::vector<Point> points, bool closed, const Stroke& stroke);
    /// A closed area; `centre` is needed where it is not convex (it must then be star-shaped about it).
    void area(const std::vector<Point>& points, std::optional<Point> centre, Colour fill);
    void box(const Box& box, Colour fill);
    void circle(Point centre, double radius, std::optional<Colour> fill, std::optional<Stroke> stroke) {
        out_.drawn.push_back(CircleShape{centre, radius, fill, std::move(stroke)});
    }
    void put(Drawn shape) { out_.drawn.push_back(std::move(shape)); }
    void clip(const Box& box) { out_.drawn.push_back(ClipShape{box}); }
    void unclip() { out_.drawn.push_back(ClipShape{}); }

    void target(const std::string& id, std::vector<Point> points, bool area = true);
    void target(const std::string& id, const Box& box);
    void left_out() { ++out_.left_out; }

  private:
    LaidOut& out_;
    TextMeasure& measure_;
};

/// The four corners of a box.
[[nodiscard]] std::vector<Point> corners(const Box& box);
/// Points round a circle (or a part of it, angles in radians, y down), close enough for the eye.
[[nodiscard]] std::vector<Point> arc(Point centre, double radius, double from, double to);
[[nodiscard]] bool is_convex(const std::vector<Point>& points);

/// Paints the elements of a panel whose plot and axes have their places; flags and callouts are not among
/// them.
void lay_elements(Sheet& sheet, const Panel& panel, const LaidPanel& laid);
/// One mark of a radius in px.
void lay_shape(Sheet& sheet, Point at, Shape shape, Ink ink, double radius);

}  // namespace cranknote::figure
