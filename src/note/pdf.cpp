#include "note/pdf.hpp"

#include <cairo-pdf.h>
#include <cairo.h>
#include <pango/pangocairo.h>

#include <algorithm>
#include <memory>
#include <optional>

#include "figure/cairo_painter.hpp"
#include "figure/utf8.hpp"
#include "units/error.hpp"

namespace cranknote {

namespace {

using namespace document;
using figure::Colour;
using figure::colour_of;

constexpr double margin = 51.0, foot = 30.0;  // points
constexpr double px = 0.75;                   // one of a figure's units (1/96 inch) in points
constexpr Colour ink = colour_of(0x1B1E22), faint = colour_of(0x5B6168), rule = colour_of(0xC9CDD2);

struct Unref {
    void operator()(PangoLayout* l) const { g_object_unref(l); }
    void operator()(cairo_surface_t* s) const { cairo_surface_destroy(s); }
    void operator()(cairo_t* c) const { cairo_destroy(c); }
};
using PangoText = std::unique_ptr<PangoLayout, Unref>;

struct Type {
    double size = 9.75;
    PangoWeight weight = PANGO_WEIGHT_NORMAL;
    Colour colour = ink;
    bool right = false;
};

cairo_status_t append(void* to, const unsigned char* data, unsigned int length) {
    if (to) static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), length);
    return CAIRO_STATUS_SUCCESS;
}

void set_colour(cairo_t* c, Colour colour) { cairo_set_source_rgb(c, colour.red, colour.green, colour.blue); }

/// Writes blocks down the pages. Run twice: the first run counts the pages.
class Pages {
  public:
    Pages(cairo_t* context, cairo_surface_t* surface, const Document& d, figure::Size size, int pages)
        : c_(context), surface_(surface), d_(d), size_(size), pages_(pages) {}

    int write() {
        y_ = margin;
        text(d_.title, {21.0, PANGO_WEIGHT_SEMIBOLD, ink, false}, margin, width());
        if (!d_.subtitle.empty())
            text(d_.subtitle, {13.0, PANGO_WEIGHT_NORMAL, faint, false}, margin, width());
        gap(4.0);
        for (std::size_t i = 0; i < d_.blocks.size(); ++i) {
            next_ = i + 1 < d_.blocks.size() ? &d_.blocks[i + 1] : nullptr;
            std::visit(*this, d_.blocks[i]);
        }
        end_page();
        return page_;
    }

    void operator()(const Heading& h) {
        if (h.page) new_page();
        gap(12.5);
        need(22.0 + ahead());
        outline(h.text);
        text(h.text, {12.5, PANGO_WEIGHT_SEMIBOLD, ink, false}, margin, width());
        gap(3.0);
    }

    void operator()(const Paragraph& p) {
        const bool lead = p.tone == Paragraph::Tone::lead, small = p.tone == Paragraph::Tone::faint;
        text(p.text,
             {lead    ? 11.25
              : small ? 8.75
                      : 9.75,
              PANGO_WEIGHT_NORMAL, small ? faint : ink, false},
             margin, width());
        gap(4.0);
    }

    void operator()(const Callout& c) {
        const double inner = width() - 58.0;
        const Type head{14.5, PANGO_WEIGHT_SEMIBOLD, ink, false}, body{};
        double height = 24.0 + height_of(c.headline, head, inner);
        for (const auto& s : c.sentences) height += height_of(s, body, inner);
        gap(12.0);
        need(std::min(height, room_of_a_page()));
        const double top = y_;
        const auto colour = c.mark == Callout::Mark::good  ? colour_of(0x00805D)
                            : c.mark == Callout::Mark::bad ? colour_of(0xB54F00)
                                                           : faint;
        sign(c.mark, colour, margin + 22.0, top + 21.0);
        y_ += 11.0;
        const int page = page_;
        text(c.headline, head, margin + 44.0, inner);
        for (const auto& s : c.sentences) text(s, body, margin + 44.0, inner);
        if (page == page_) {  // a box round it, unless its text ran over the page
            set_colour(c_, colour);
            cairo_set_line_width(c_, 1.4);
            cairo_rectangle(c_, margin, top, width(), y_ + 11.0 - top);
            cairo_stroke(c_);
        }
        y_ += 11.0;
    }

    /// Labels beside values; more than four rows stand in two columns.
    void operator()(const Facts& f) {
        gap(4.0);
        const std::size_t columns = f.rows.size() > 4 ? 2 : 1;
        const double column = (width() - (columns > 1 ? 18.0 : 0.0)) / static_cast<double>(columns);
        double label = 0.0;
        for (const auto& row : f.rows) label = std::max(label, width_of(row.first, {}));
        label = std::min(label + 14.0, column * 0.45);
        for (std::size_t i = 0; i < f.rows.size(); i += columns) {
            double height = 0.0;
            for (std::size_t k = i; k < std::min(i + columns, f.rows.size()); ++k)
                height = std::max({height, height_of(f.rows[k].first, {}, label - 8.0),
                                   height_of(f.rows[k].second, {}, column - label)});
            const bool whole = height < room_of_a_page();
            if (whole) need(height);
            const double top = y_;
            double after = y_;
            for (std::size_t k = i; k < std::min(i + columns, f.rows.size()); ++k) {
                const double left = margin + static_cast<double>(k - i) * (column + 18.0);
                if (whole) y_ = top;
                text(f.rows[k].first, {9.75, PANGO_WEIGHT_NORMAL, faint, false}, left, label - 8.0);
                after = whole ? std::max(after, y_) : y_;
                if (whole) y_ = top;
                text(f.rows[k].second, {}, left + label, column - label);
                after = whole ? std::max(after, y_) : y_;
            }
            y_ = after + 1.5;
        }
    }

    void operator()(const Items& list) { items(list, margin); }

    void operator()(const Entry& e) {
        gap(5.0);
        const Type bold{9.75, PANGO_WEIGHT_SEMIBOLD, ink, false};
        double height = height_of(e.title, bold, width() - 56.0);
        for (const auto& item : e.items.items) height += height_of(item.text, {}, width() - 72.0) + 1.5;
        need(height < room_of_a_page() / 2.0 ? height : 40.0);  // a short one stays together
        const double top = y_;
        text(e.number, bold, margin, 52.0);
        y_ = top;
        text(e.title, bold, margin + 56.0, width() - 56.0);
        items(e.items, margin + 56.0);
    }

    void operator()(const Table& t) {
        double shares = 0.0;
        for (const auto& column : t.columns) shares += column.share;
        std::vector<double> widths;
        for (const auto& column : t.columns) widths.push_back(width() * column.share / shares);
        gap(2.0);
        need(40.0);
        table_head(t, widths);
        for (const auto& row : t.rows) {
            double height = 0.0;
            for (std::size_t i = 0; i < std::min(row.size(), widths.size()); ++i)
                height = std::max(height, height_of(row[i], cell_type(t, i), widths[i] - 13.0));
            if (y_ + std::min(height + 7.0, room_of_a_page() - 30.0) > bottom()) {
                new_page();
                table_head(t, widths);
            }
            cells(t, widths, row);
        }
        gap(5.0);
    }

    void operator()(const Picture& p) {
        const double wide = width() / px;
        double high = figure::natural_height(p.figure, wide);
        double scale = px;
        const double room = room_of_a_page() - 20.0;
        if (high * scale > room) scale = room / high;  // taller than a page: smaller
        gap(5.0);
        need(high * scale + 4.0);
        cairo_save(c_);
        cairo_translate(c_, margin, y_);
        cairo_scale(c_, scale, scale);
        {
            figure::CairoPainter painter(c_);
            figure::paint(figure::lay_out(p.figure, {wide * px / scale, high}, {}, painter), painter, false);
        }
        cairo_restore(c_);
        y_ += high * scale + 4.0;
        if (!p.caption.empty()) text(p.caption, {8.75, PANGO_WEIGHT_NORMAL, faint, false}, margin, width());
        gap(4.0);
    }

    void operator()(const Sounds& s) { (*this)(Paragraph{s.on_paper, Paragraph::Tone::faint}); }

    void operator()(const Blanks& b) {
        const std::size_t columns = b.two_columns ? 2 : 1;
        const double column = b.two_columns ? (width() - 18.0) / 2.0 : width();
        const Type type{9.75, PANGO_WEIGHT_NORMAL, faint, false};
        const double widest = column * 0.7;  // the rest is for the pen
        for (std::size_t i = 0; i < b.labels.size(); i += columns) {
            const std::size_t end = std::min(i + columns, b.labels.size());
            double height = 0.0;
            for (std::size_t k = i; k < end; ++k)
                height = std::max(height, height_of(b.labels[k], type, widest));
            gap(8.0);
            need(height);
            const double foot_line = y_ + height;
            for (std::size_t k = i; k < end; ++k) {
                const double left = margin + static_cast<double>(k - i) * (column + 18.0);
                y_ = foot_line - height_of(b.labels[k], type, widest);
                text(b.labels[k], type, left, widest);
                const double from = left + std::min(width_of(b.labels[k], type), widest) + 6.0;
                line({from, foot_line - 1.5}, {left + column, foot_line - 1.5}, rule, 0.8);
            }
            y_ = foot_line;
        }
    }

    void operator()(const SmallPrint& s) {
        for (const auto& text_line : s.lines)
            text(text_line, {7.5, PANGO_WEIGHT_NORMAL, faint, false}, margin, width());
    }

  private:
    [[nodiscard]] double width() const { return size_.width - 2.0 * margin; }
    [[nodiscard]] double bottom() const { return size_.height - margin - 8.0; }
    [[nodiscard]] double room_of_a_page() const { return bottom() - margin; }
    void gap(double points) {
        if (y_ > margin + 0.5) y_ += points * d_.enlarge;  // not at the top of a page
    }
    void need(double points) {
        if (y_ + points > bottom() && y_ > margin + 0.5) new_page();
    }

    /// What must stay on the page with a heading: the start of what follows it.
    [[nodiscard]] double ahead() {
        if (!next_) return 0.0;
        if (const auto* picture = std::get_if<Picture>(next_))
            return std::min(figure::natural_height(picture->figure, width() / px) * px,
                            room_of_a_page() - 60.0);
        return std::holds_alternative<Table>(*next_) ? 60.0 : 34.0;
    }

    void end_page() {
        const double y = size_.height - foot;
        std::string right = d_.page_of;
        fill_place(right, "{page}", page_);
        fill_place(right, "{pages}", std::max(pages_, page_));
        const Type type{7.5, PANGO_WEIGHT_NORMAL, faint, false};
        const double number = width_of(right, type);
        auto layout = set(d_.footer, type, width() - number - 20.0, true);
        show(layout.get(), margin, y);
        auto last = set(right, type, -1.0);
        show(last.get(), size_.width - margin - number, y);
        cairo_surface_show_page(surface_);
    }
    void new_page() {
        end_page();
        ++page_;
        y_ = margin;
    }
    static void fill_place(std::string& text, std::string_view place, int value) {
        if (const auto at = text.find(place); at != std::string::npos)
            text.replace(at, place.size(), std::to_string(value));
    }

    void outline(const std::string& title) {
        const auto destination = "page=" + std::to_string(page_) + " pos=[" +
                                 std::to_string(static_cast<int>(margin)) + " " +
                                 std::to_string(static_cast<int>(y_)) + "]";
        if (pages_ > 0)
            cairo_pdf_surface_add_outline(surface_, CAIRO_PDF_OUTLINE_ROOT, clean_line(title).c_str(),
                                          destination.c_str(), CAIRO_PDF_OUTLINE_FLAG_OPEN);
    }

    // Text --------------------------------------------------------------------------------------------------

    [[nodiscard]] PangoText set(const std::string& text, const Type& type, double wide,
                                bool one_line = false) const {
        PangoText layout(pango_cairo_create_layout(c_));
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
        set_colour(c_, type.colour);
        const auto clean = clean_text(text);
        pango_layout_set_text(layout.get(), clean.data(), static_cast<int>(clean.size()));
        return layout;
    }
    [[nodiscard]] double height_of(const std::string& text, const Type& type, double wide) const {
        int height = 0;
        pango_layout_get_size(set(text, type, wide).get(), nullptr, &height);
        return static_cast<double>(height) / PANGO_SCALE;
    }
    [[nodiscard]] double width_of(const std::string& text, const Type& type) const {
        int wide = 0;
        pango_layout_get_size(set(text, type, -1.0).get(), &wide, nullptr);
        return static_cast<double>(wide) / PANGO_SCALE;
    }
    void show(PangoLayout* layout, double x, double y) const {
        cairo_move_to(c_, x, y);
        pango_cairo_show_layout(c_, layout);
    }

    /// Wrapped text at the cursor, line by line, over pages if need be.
    void text(const std::string& words, const Type& type, double x, double wide) {
        if (words.empty()) return;
        auto layout = set(words, type, wide);
        auto* iter = pango_layout_get_iter(layout.get());
        do {
            PangoRectangle extent;
            pango_layout_iter_get_line_extents(iter, nullptr, &extent);
            const double top = static_cast<double>(extent.y) / PANGO_SCALE,
                         height = static_cast<double>(extent.height) / PANGO_SCALE;
            if (y_ + height > bottom() && y_ > margin + 0.5) {
                new_page();
                set_colour(c_, type.colour);
            }
            const double baseline =
                static_cast<double>(pango_layout_iter_get_baseline(iter)) / PANGO_SCALE - top;
            cairo_move_to(c_, x + static_cast<double>(extent.x) / PANGO_SCALE, y_ + baseline);
            pango_cairo_show_layout_line(c_, pango_layout_iter_get_line_readonly(iter));
            y_ += height;
        } while (pango_layout_iter_next_line(iter));
        pango_layout_iter_free(iter);
    }

    void items(const Items& list, double left) {
        for (const auto& item : list.items) {
            need(13.0);
            const double top = y_;
            text(item.mark, {9.75, PANGO_WEIGHT_SEMIBOLD, ink, false}, left, 14.0);
            y_ = top;
            text(item.text, {}, left + 16.0, margin + width() - left - 16.0);
            y_ += 1.5;
        }
    }

    // Tables ------------------------------------------------------------------------------------------------

    [[nodiscard]] static Type cell_type(const Table& t, std::size_t column) {
        return {9.25, PANGO_WEIGHT_NORMAL, ink, column < t.columns.size() && t.columns[column].right};
    }
    void table_head(const Table& t, const std::vector<double>& widths) {
        double x = margin, after = y_;
        const double top = y_;
        for (std::size_t i = 0; i < t.columns.size(); ++i) {
            y_ = top;
            text(t.columns[i].title, {8.5, PANGO_WEIGHT_MEDIUM, faint, t.columns[i].right}, x,
                 widths[i] - 13.0);
            after = std::max(after, y_);
            x += widths[i];
        }
        y_ = after + 2.0;
        line({margin, y_}, {margin + width(), y_}, faint, 0.9);
        y_ += 2.5;
    }
    void cells(const Table& t, const std::vector<double>& widths, const std::vector<std::string>& row) {
        const double top = y_;
        const int page = page_;
        double x = margin, after = y_;
        for (std::size_t i = 0; i < std::min(row.size(), widths.size()); ++i) {
            if (page == page_) y_ = top;
            text(row[i], cell_type(t, i), x, widths[i] - 13.0);
            after = page == page_ ? std::max(after, y_) : y_;
            x += widths[i];
        }
        y_ = after + 2.5;
        line({margin, y_}, {margin + width(), y_}, rule, 0.5);
        y_ += 2.5;
    }

    void line(figure::Point a, figure::Point b, Colour colour, double thick) const {
        set_colour(c_, colour);
        cairo_set_line_width(c_, thick);
        cairo_move_to(c_, a.x, a.y);
        cairo_line_to(c_, b.x, b.y);
        cairo_stroke(c_);
    }

    /// Good, bad or open, by its form as well.
    void sign(Callout::Mark mark, Colour colour, double x, double y) const {
        set_colour(c_, colour);
        cairo_new_path(c_);
        cairo_arc(c_, x, y, 10.5, 0.0, 6.283185307179586);
        cairo_fill(c_);
        set_colour(c_, colour_of(0xFFFFFF));
        cairo_set_line_width(c_, 2.5);
        cairo_set_line_cap(c_, CAIRO_LINE_CAP_ROUND);
        cairo_set_line_join(c_, CAIRO_LINE_JOIN_ROUND);
        if (mark == Callout::Mark::good) {
            cairo_move_to(c_, x - 5.2, y + 0.4);
            cairo_line_to(c_, x - 1.5, y + 4.1);
            cairo_line_to(c_, x + 5.2, y - 3.8);
        } else if (mark == Callout::Mark::bad) {
            cairo_move_to(c_, x, y - 5.5);
            cairo_line_to(c_, x, y + 1.2);
            cairo_move_to(c_, x, y + 5.3);
            cairo_line_to(c_, x, y + 5.4);
        } else {
            cairo_move_to(c_, x - 5.0, y);
            cairo_line_to(c_, x + 5.0, y);
        }
        cairo_stroke(c_);
    }

    cairo_t* c_;
    cairo_surface_t* surface_;
    const Document& d_;
    figure::Size size_;
    int pages_;
    int page_ = 1;
    double y_ = margin;
    const Block* next_ = nullptr;
};

void set_properties(cairo_surface_t* surface, const Document& d) {
    const auto set = [&](cairo_pdf_metadata_t key, const std::string& value) {
        if (const auto clean = clean_line(value); !clean.empty())
            cairo_pdf_surface_set_metadata(surface, key, clean.c_str());
    };
    set(CAIRO_PDF_METADATA_TITLE, d.subtitle.empty() ? d.title : d.title + ": " + d.subtitle);
    set(CAIRO_PDF_METADATA_AUTHOR, d.author);
    set(CAIRO_PDF_METADATA_SUBJECT, d.subject);
    set(CAIRO_PDF_METADATA_CREATOR, "cranknote");
    if (d.created.empty()) return;  // then Cairo writes the clock's
    set(CAIRO_PDF_METADATA_CREATE_DATE, d.created);
    set(CAIRO_PDF_METADATA_MOD_DATE, d.created);
}

int write_pages(const Document& d, figure::Size size, std::string* bytes, int pages) {
    std::unique_ptr<cairo_surface_t, Unref> surface(
        cairo_pdf_surface_create_for_stream(append, bytes, size.width, size.height));
    std::unique_ptr<cairo_t, Unref> context(cairo_create(surface.get()));
    set_properties(surface.get(), d);
    const int count = Pages(context.get(), surface.get(), d, size, pages).write();
    const auto status = cairo_status(context.get());
    context.reset();
    cairo_surface_finish(surface.get());
    if (status != CAIRO_STATUS_SUCCESS || cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS)
        throw Error("the PDF could not be made", "", cairo_status_to_string(status));
    return count;
}

}  // namespace

std::string pdf_of(const Document& document, Paper paper) {
    const figure::Size size = paper == Paper::a4 ? figure::Size{595.276, 841.89} : figure::Size{612.0, 792.0};
    constexpr double smallest = 2.0 / 3.0, step = 0.97;
    Document d = document;
    int pages = write_pages(d, size, nullptr, 0);
    while (d.one_page && pages > 1 && d.enlarge * step >= smallest) {
        d.enlarge *= step;
        pages = write_pages(d, size, nullptr, 0);
    }
    std::string bytes;
    write_pages(d, size, &bytes, pages);
    return bytes;
}

}  // namespace cranknote
