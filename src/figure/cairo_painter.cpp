#include "figure/cairo_painter.hpp"

#include <cairo.h>
#include <pango/pangocairo.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "figure/utf8.hpp"
#include "units/error.hpp"

namespace cranknote::figure {

namespace {

struct Unref {
    void operator()(void* object) const { g_object_unref(object); }
    void operator()(cairo_surface_t* s) const { cairo_surface_destroy(s); }
    void operator()(cairo_t* c) const { cairo_destroy(c); }
    void operator()(PangoFontDescription* d) const { pango_font_description_free(d); }
};
using Surface = std::unique_ptr<cairo_surface_t, Unref>;
using Context = std::unique_ptr<cairo_t, Unref>;

PangoWeight pango_weight(Weight weight) {
    switch (weight) {
        case Weight::medium:
            return PANGO_WEIGHT_MEDIUM;
        case Weight::bold:
            return PANGO_WEIGHT_SEMIBOLD;
        default:
            return PANGO_WEIGHT_NORMAL;
    }
}

void set_colour(cairo_t* c, Colour colour) {
    cairo_set_source_rgba(c, colour.red, colour.green, colour.blue, colour.alpha);
}

void trace(cairo_t* c, const std::vector<Point>& points) {
    cairo_new_path(c);
    for (const auto& p : points) cairo_line_to(c, p.x, p.y);
}

void set_stroke(cairo_t* c, const Stroke& stroke) {
    set_colour(c, stroke.colour);
    cairo_set_line_width(c, stroke.width);
    cairo_set_dash(c, stroke.dash.data(), static_cast<int>(stroke.dash.size()), 0.0);
    cairo_set_line_join(c, CAIRO_LINE_JOIN_ROUND);
    cairo_set_line_cap(c, stroke.dash.empty() ? CAIRO_LINE_CAP_ROUND : CAIRO_LINE_CAP_BUTT);
}

cairo_status_t append(void* to, const unsigned char* data, unsigned int length) {
    static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), length);
    return CAIRO_STATUS_SUCCESS;
}

class CairoMeasure final : public TextMeasure {
  public:
    CairoMeasure()
        : surface_(cairo_image_surface_create(CAIRO_FORMAT_A8, 1, 1)),
          context_(cairo_create(surface_.get())),
          painter_(context_.get()) {}
    Size size_of(std::string_view text, const TextStyle& style) override {
        return painter_.size_of(text, style);
    }
    double ascent_of(const TextStyle& style) override { return painter_.ascent_of(style); }

  private:
    Surface surface_;
    Context context_;
    CairoPainter painter_;
};

}  // namespace

void make_exact(PangoLayout* layout) {
    PangoContext* context = pango_layout_get_context(layout);
    cairo_font_options_t* options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(context, options);
    cairo_font_options_destroy(options);
    pango_context_set_round_glyph_positions(context, FALSE);
}

struct CairoPainter::Text {
    std::unique_ptr<PangoLayout, Unref> layout;
    std::unique_ptr<PangoFontDescription, Unref> font;

    PangoLayout* set(std::string_view text, const TextStyle& style) {
        pango_font_description_set_absolute_size(font.get(), style.size * PANGO_SCALE);
        pango_font_description_set_weight(font.get(), pango_weight(style.weight));
        pango_layout_set_font_description(layout.get(), font.get());
        const auto clean = clean_line(text);
        pango_layout_set_text(layout.get(), clean.data(), static_cast<int>(clean.size()));
        return layout.get();
    }
};

CairoPainter::CairoPainter(cairo_t* context) : context_(context), text_(std::make_unique<Text>()) {
    text_->layout.reset(pango_cairo_create_layout(context));
    text_->font.reset(pango_font_description_from_string("Inter, DejaVu Sans, sans-serif"));
    make_exact(text_->layout.get());
    pango_layout_set_single_paragraph_mode(text_->layout.get(), TRUE);
}
CairoPainter::~CairoPainter() = default;

Size CairoPainter::size_of(std::string_view text, const TextStyle& style) {
    int width = 0, height = 0;
    pango_layout_get_size(text_->set(text, style), &width, &height);
    return {static_cast<double>(width) / PANGO_SCALE, static_cast<double>(height) / PANGO_SCALE};
}

double CairoPainter::ascent_of(const TextStyle& style) {
    return static_cast<double>(pango_layout_get_baseline(text_->set("Ag", style))) / PANGO_SCALE;
}

void CairoPainter::polyline(const std::vector<Point>& points, bool closed, const Stroke& stroke) {
    trace(context_, points);
    if (closed) cairo_close_path(context_);
    set_stroke(context_, stroke);
    cairo_stroke(context_);
}

void CairoPainter::polygon(const std::vector<Point>& points, Colour fill) {
    trace(context_, points);
    set_colour(context_, fill);
    cairo_fill(context_);
}

void CairoPainter::strip(const std::vector<Point>& upper, const std::vector<Point>& lower, Colour fill) {
    trace(context_, upper);
    for (std::size_t i = lower.size(); i-- > 0;) cairo_line_to(context_, lower[i].x, lower[i].y);
    set_colour(context_, fill);
    cairo_fill(context_);
}

void CairoPainter::circle(Point centre, double radius, const std::optional<Colour>& fill,
                          const std::optional<Stroke>& stroke) {
    cairo_new_path(context_);
    cairo_arc(context_, centre.x, centre.y, radius, 0.0, 2.0 * std::numbers::pi);
    cairo_close_path(context_);
    if (fill) {
        set_colour(context_, *fill);
        cairo_fill_preserve(context_);
    }
    if (stroke) {
        set_stroke(context_, *stroke);
        cairo_stroke_preserve(context_);
    }
    cairo_new_path(context_);
}

void CairoPainter::text(Point at, std::string_view text, const TextStyle& style) {
    auto* layout = text_->set(text, style);
    set_colour(context_, style.colour);
    // By the first line's own baseline: a fallback font may be taller than the main one.
    cairo_move_to(context_, at.x,
                  at.y - static_cast<double>(pango_layout_get_baseline(layout)) / PANGO_SCALE);
    pango_cairo_show_layout(context_, layout);
    cairo_new_path(context_);
}

void CairoPainter::picture(const Box& box, const Picture& picture) {
    if (picture.width < 1 || picture.height < 1) return;
    Surface surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24, picture.width, picture.height));
    if (cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS) return;
    auto* bytes = cairo_image_surface_get_data(surface.get());
    const auto stride = static_cast<std::size_t>(cairo_image_surface_get_stride(surface.get()));
    const auto width = static_cast<std::size_t>(picture.width);
    for (std::size_t row = 0; row < static_cast<std::size_t>(picture.height); ++row) {
        auto* line = reinterpret_cast<std::uint32_t*>(bytes + row * stride);
        for (std::size_t i = 0; i < width; ++i) line[i] = picture.rgb[row * width + i];
    }
    cairo_surface_mark_dirty(surface.get());
    cairo_save(context_);
    cairo_translate(context_, box.x0, box.y0);
    cairo_scale(context_, box.width() / picture.width, box.height() / picture.height);
    cairo_set_source_surface(context_, surface.get(), 0, 0);
    cairo_pattern_set_filter(cairo_get_source(context_), CAIRO_FILTER_NEAREST);
    cairo_rectangle(context_, 0, 0, picture.width, picture.height);
    cairo_fill(context_);
    cairo_restore(context_);
}

void CairoPainter::clip(const Box& box) {
    cairo_save(context_);
    cairo_rectangle(context_, box.x0, box.y0, box.width(), box.height());
    cairo_clip(context_);
}

void CairoPainter::unclip() { cairo_restore(context_); }

std::unique_ptr<TextMeasure> cairo_measure() { return std::make_unique<CairoMeasure>(); }

std::string png_of(const LaidOut& laid, double pixels_per_unit) {
    const int width = static_cast<int>(std::lround(laid.size.width * pixels_per_unit));
    const int height = static_cast<int>(std::lround(laid.size.height * pixels_per_unit));
    Surface surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height));
    Context context(cairo_create(surface.get()));
    cairo_scale(context.get(), pixels_per_unit, pixels_per_unit);
    {
        CairoPainter painter(context.get());
        paint(laid, painter);
    }
    std::string bytes;
    if (cairo_status(context.get()) != CAIRO_STATUS_SUCCESS ||
        cairo_surface_write_to_png_stream(surface.get(), append, &bytes) != CAIRO_STATUS_SUCCESS)
        throw Error("could not paint a picture of this size", "", "make it smaller");
    return bytes;
}

std::string png_of(const Figure& figure, Size size, const Theme& theme, double pixels_per_unit) {
    if (size.height <= 0.0) size.height = natural_height(figure, size.width / theme.scale) * theme.scale;
    const auto measure = cairo_measure();
    return png_of(lay_out(figure, size, theme, *measure), pixels_per_unit);
}

}  // namespace cranknote::figure
