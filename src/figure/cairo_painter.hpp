// Figures by Cairo and Pango: PNG for files and PDF pages. Type is Inter where it is installed, else DejaVu
// Sans.
#pragma once

#include <memory>
#include <string>

#include "figure/laid_out.hpp"

typedef struct _cairo cairo_t;
typedef struct _PangoLayout PangoLayout;

namespace cranknote::figure {

/// Paints on a Cairo context that lives longer than the painter. One unit of a figure is one unit of the
/// context. Text is set as plain text, one line; it stays text in a PDF.
class CairoPainter final : public Painter {
  public:
    explicit CairoPainter(cairo_t* context);
    ~CairoPainter() override;
    CairoPainter(const CairoPainter&) = delete;
    CairoPainter& operator=(const CairoPainter&) = delete;

    Size size_of(std::string_view text, const TextStyle& style) override;
    double ascent_of(const TextStyle& style) override;
    void polyline(const std::vector<Point>& points, bool closed, const Stroke& stroke) override;
    void polygon(const std::vector<Point>& points, Colour fill) override;
    void strip(const std::vector<Point>& upper, const std::vector<Point>& lower, Colour fill) override;
    void circle(Point centre, double radius, const std::optional<Colour>& fill,
                const std::optional<Stroke>& stroke) override;
    void text(Point at, std::string_view text, const TextStyle& style) override;
    void picture(const Box& box, const Picture& picture) override;
    void clip(const Box& box) override;
    void unclip() override;

  private:
    struct Text;  // the Pango layout
    cairo_t* context_;
    std::unique_ptr<Text> text_;
};

/// Metrics that do not depend on the surface's pixels: text is laid out the same for screen and paper.
void make_exact(PangoLayout* layout);

/// Measures as a CairoPainter does, without a surface.
[[nodiscard]] std::unique_ptr<TextMeasure> cairo_measure();

/// The bytes of a PNG, `pixels_per_unit` pixels to a unit (1: 96 to an inch). Throws Error (could not) when
/// there is no memory for it.
[[nodiscard]] std::string png_of(const LaidOut& laid, double pixels_per_unit = 2.0);

/// Lays out and paints: the whole way for a file. Height 0: the figure's natural one.
[[nodiscard]] std::string png_of(const Figure& figure, Size size, const Theme& theme = {},
                                 double pixels_per_unit = 2.0);

}  // namespace cranknote::figure
