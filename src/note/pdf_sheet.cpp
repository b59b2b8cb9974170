#include "note/pdf_sheet.hpp"

#include <algorithm>

#include "figure/cairo_painter.hpp"
#include "figure/utf8.hpp"

namespace cranknote::pdf {

using figure::Colour;
using figure::colour_of;

namespace {

void show(cairo_t* c, PangoLayout* layout, double x, double y) {
    cairo_move_to(c, x, y);
    pango_cairo_show_layout(c, layout);
}

void fill_place(std::string& text, std::string_view place, int value) {
    if (const auto at = text.find(place); at != std::string::npos)
        text.replace(at, place.size(), std::to_string(value));
}

}  // namespace

void Sheet::end_page() {
    const double at = size_.height - foot;
    std::string right = d_.page_of;
    fill_place(right, "{page}", page_);
    fill_place(right, "{pages}", std::max(pages_, page_));
    const Type type{7.5, PANGO_WEIGHT_NORMAL, faint, false};
    const double number = width_of(right, type);
    auto layout = set(d_.footer, type, width() - number - 20.0, true);
    show(c, layout.get(), margin, at);
    auto last = set(right, type, -1.0);
    show(c, last.get(), size_.width - margin - number, at);
    cairo_surface_show_page(surface_);
}
void Sheet::new_page() {
    end_page();
    ++page_;
    y = margin;
}
void Sheet::outline(const std::string& title) const {
    const auto destination = "page=" + std::to_string(page_) + " pos=[" +
                             std::to_string(static_cast<int>(margin)) + " " +
                             std::to_string(static_cast<int>(y)) + "]";
    if (pages_ > 0)
        cairo_pdf_surface_add_outline(surface_, CAIRO_PDF_OUTLINE_ROOT, clean_line(title).c_str(),
                                      destination.c_str(), CAIRO_PDF_OUTLINE_FLAG_OPEN);
}

PangoText Sheet::set(const std::string& text, const Type& type, double wide, bool one_line) const {
    PangoText layout(pango_cairo_create_layout(c));
    figure::make_exact(layout.get());
    auto* font = pango_font_description_from_string("Inter, DejaVu Sans, sans-serif");
    pango_font_description_set_absolute_size(font, type.size * d_.enlarge * PANGO_SCALE);
    pango_font_description_set_weight(font, type.weight);
    pango_layout_set_font_description(layout.get(), font);
    pango_font_description_free(font);
    if (wide >= 0.0) pango_layout_set_width(layout.get(), static_cast<int>(wide * PANGO_SCALE));
    pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
    if (one_line) pango_layout_set_ellipsize(layout.get(), PANGO_ELLIPSIZE_END);
    pango_layout_set_line_spacing(layout.get(), 1.22f);
    pango_layout_set_alignment(layout.get(), type.right ? PANGO_ALIGN_RIGHT : PANGO_ALIGN_LEFT);
    set_colour(type.colour);
    const auto clean = clean_text(text);
    pango_layout_set_text(layout.get(), clean.data(), static_cast<int>(clean.size()));
    return layout;
}
double Sheet::height_of(const std::string& text, const Type& type, double wide) const {
    int height = 0;
    pango_layout_get_size(set(text, type, wide).get(), nullptr, &height);
    return static_cast<double>(height) / PANGO_SCALE;
}
double Sheet::width_of(const std::string& text, const Type& type) const {
    int wide = 0;
    pango_layout_get_size(set(text, type, -1.0).get(), &wide, nullptr);
    return static_cast<double>(wide) / PANGO_SCALE;
}
void Sheet::text(const std::string& words, const Type& type, double x, double wide) {
    if (words.empty()) return;
    auto layout = set(words, type, wide);
    auto* iter = pango_layout_get_iter(layout.get());
    int left = pango_layout_get_line_count(layout.get());
    do {
        PangoRectangle extent;
        pango_layout_iter_get_line_extents(iter, nullptr, &extent);
        const double top = static_cast<double>(extent.y) / PANGO_SCALE,
                     height = static_cast<double>(extent.height) / PANGO_SCALE;
        // The last line does not stand alone on the next page: the one before goes with it.
        const bool last_two =
            left == 2 && pango_layout_get_line_count(layout.get()) > 3 && y + 2.0 * height > bottom();
        --left;
        if ((y + height > bottom() || last_two) && y > margin + 0.5) {
            new_page();
            set_colour(type.colour);
        }
        const double baseline = static_cast<double>(pango_layout_iter_get_baseline(iter)) / PANGO_SCALE - top;
        cairo_move_to(c, x + static_cast<double>(extent.x) / PANGO_SCALE, y + baseline);
        pango_cairo_show_layout_line(c, pango_layout_iter_get_line_readonly(iter));
        y += height;
    } while (pango_layout_iter_next_line(iter));
    pango_layout_iter_free(iter);
}

void Sheet::line(figure::Point a, figure::Point b, Colour colour, double thick) const {
    set_colour(colour);
    cairo_set_line_width(c, thick);
    cairo_move_to(c, a.x, a.y);
    cairo_line_to(c, b.x, b.y);
    cairo_stroke(c);
}

void Sheet::sign(document::Callout::Mark mark, Colour colour, figure::Point at) const {
    set_colour(colour);
    cairo_new_path(c);
    cairo_arc(c, at.x, at.y, 10.5, 0.0, 6.283185307179586);
    cairo_fill(c);
    set_colour(colour_of(0xFFFFFF));
    cairo_set_line_width(c, 2.5);
    cairo_set_line_cap(c, CAIRO_LINE_CAP_ROUND);
    cairo_set_line_join(c, CAIRO_LINE_JOIN_ROUND);
    if (mark == document::Callout::Mark::good) {
        cairo_move_to(c, at.x - 5.2, at.y + 0.4);
        cairo_line_to(c, at.x - 1.5, at.y + 4.1);
        cairo_line_to(c, at.x + 5.2, at.y - 3.8);
    } else if (mark == document::Callout::Mark::bad) {
        cairo_move_to(c, at.x, at.y - 5.5);
        cairo_line_to(c, at.x, at.y + 1.2);
        cairo_move_to(c, at.x, at.y + 5.3);
        cairo_line_to(c, at.x, at.y + 5.4);
    } else {
        cairo_move_to(c, at.x - 5.0, at.y);
        cairo_line_to(c, at.x + 5.0, at.y);
    }
    cairo_stroke(c);
}

double Sheet::start_of(const std::string& text, const Type& type, double wide) const {
    const double height = height_of(text, type, wide), line = height_of("x", type, wide);
    return height <= 3.5 * line ? height : 2.0 * line;
}

void Sheet::set_colour(Colour colour) const {
    cairo_set_source_rgb(c, colour.red, colour.green, colour.blue);
}

void Sheet::box(double top, Colour colour) const {
    set_colour(colour);
    cairo_set_line_width(c, 1.4);
    cairo_rectangle(c, margin, top, width(), y - top);
    cairo_stroke(c);
}

}  // namespace cranknote::pdf
