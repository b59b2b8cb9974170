// A page being written by Cairo and Pango: text set and broken over pages, lines, signs. Lengths are points.
// Internal to pdf.cpp.
#pragma once

#include <cairo-pdf.h>
#include <cairo.h>
#include <pango/pangocairo.h>

#include <memory>
#include <string>
#include <string_view>

#include "figure/figure.hpp"
#include "note/document.hpp"

namespace cranknote::pdf {

inline constexpr double margin = 51.0, foot = 30.0;
inline constexpr figure::Colour ink = figure::colour_of(0x1B1E22), faint = figure::colour_of(0x5B6168),
                                rule = figure::colour_of(0xC9CDD2);

struct Unref {
    void operator()(PangoLayout* l) const { g_object_unref(l); }
    void operator()(cairo_surface_t* s) const { cairo_surface_destroy(s); }
    void operator()(cairo_t* c) const { cairo_destroy(c); }
};
using PangoText = std::unique_ptr<PangoLayout, Unref>;

struct Type {
    double size = 9.75;
    PangoWeight weight = PANGO_WEIGHT_NORMAL;
    figure::Colour colour = ink;
    bool right = false;
};

/// The sheet with its cursor `y`, which goes down and on to further pages.
class Sheet {
  public:
    /// `pages`: how many there will be; 0 while they are being counted.
    Sheet(cairo_t* context, cairo_surface_t* surface, const Document& d, figure::Size size, int pages)
        : c(context), d_(d), surface_(surface), size_(size), pages_(pages) {}

    [[nodiscard]] double width() const { return size_.width - 2.0 * margin; }
    [[nodiscard]] double bottom() const { return size_.height - margin - 8.0; }
    [[nodiscard]] double room_of_a_page() const { return bottom() - margin; }
    [[nodiscard]] int page() const { return page_; }

    /// Room above what comes, but not at the top of a page.
    void gap(double points) {
        if (y > margin + 0.5) y += points * d_.enlarge;
    }
    /// A new page unless so much is left of this one.
    void need(double points) {
        if (y + points > bottom() && y > margin + 0.5) new_page();
    }
    void end_page();
    void new_page();
    /// An entry in the document's outline, leading here.
    void outline(const std::string& title) const;

    [[nodiscard]] PangoText set(const std::string& text, const Type& type, double wide,
                                bool one_line = false) const;
    [[nodiscard]] double height_of(const std::string& text, const Type& type, double wide) const;
    [[nodiscard]] double width_of(const std::string& text, const Type& type) const;
    /// A short text whole, of a long one two lines: no line stands alone at a page's foot.
    [[nodiscard]] double start_of(const std::string& text, const Type& type, double wide) const;
    /// Wrapped text at the cursor, line by line, over pages if need be.
    void text(const std::string& words, const Type& type, double x, double wide);

    void set_colour(figure::Colour colour) const;
    void line(figure::Point a, figure::Point b, figure::Colour colour, double thick) const;
    void box(double top, figure::Colour colour) const;
    /// Good, bad or open, by its form as well.
    void sign(document::Callout::Mark mark, figure::Colour colour, figure::Point at) const;

    cairo_t* c;
    double y = margin;

  protected:
    const Document& d_;

  private:
    cairo_surface_t* surface_;
    figure::Size size_;
    int pages_;
    int page_ = 1;
};

}  // namespace cranknote::pdf
