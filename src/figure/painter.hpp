// What a surface must be able to do to show a figure: a handful of shapes and text. Cairo and SVG painters
// are in cairo_painter.hpp and svg_painter.hpp; the window has its own.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "figure/geometry.hpp"
#include "figure/theme.hpp"

namespace cranknote::figure {

enum class Weight { regular, medium, bold };

/// Type: `size` in px is that of the em; the family is the painter's own sans serif.
struct TextStyle {
    double size = 12.0;
    Weight weight = Weight::regular;
    Colour colour{};
};

struct Stroke {
    Colour colour{};
    double width = 1.0;
    std::vector<double> dash{};  ///< lengths on, off, ... in px; empty: solid
};

/// Pixels of a heat map: `width` × `height`, rows from the top, stretched over a box without smoothing.
struct Picture {
    int width = 0, height = 0;
    std::vector<std::uint32_t> rgb;  ///< 0xRRGGBB
};

/// Measures text as a painter will set it. Text is one line, never markup.
class TextMeasure {
  public:
    virtual ~TextMeasure() = default;
    /// Width to the next letter (advance), and the height of a line (ascent and descent).
    [[nodiscard]] virtual Size size_of(std::string_view text, const TextStyle& style) = 0;
    /// From the top of a line to its baseline.
    [[nodiscard]] virtual double ascent_of(const TextStyle& style) = 0;
};

class Painter : public TextMeasure {
  public:
    virtual void polyline(const std::vector<Point>& points, bool closed, const Stroke& stroke) = 0;
    /// A convex polygon.
    virtual void polygon(const std::vector<Point>& points, Colour fill) = 0;
    /// The area between two lines of as many points.
    virtual void strip(const std::vector<Point>& upper, const std::vector<Point>& lower, Colour fill) = 0;
    virtual void circle(Point centre, double radius, const std::optional<Colour>& fill,
                        const std::optional<Stroke>& stroke) = 0;
    /// `at` is the left end of the baseline.
    virtual void text(Point at, std::string_view text, const TextStyle& style) = 0;
    virtual void picture(const Box& box, const Picture& picture) = 0;
    /// Nothing is painted outside `box` until unclip. Not nested.
    virtual void clip(const Box& box) = 0;
    virtual void unclip() = 0;
};

}  // namespace cranknote::figure
