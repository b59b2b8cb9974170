#include "note/pdf.hpp"

#include <algorithm>
#include <memory>
#include <optional>

#include "figure/cairo_painter.hpp"
#include "figure/utf8.hpp"
#include "note/pdf_sheet.hpp"
#include "units/error.hpp"

namespace cranknote {

namespace {

using namespace document;
using figure::Colour;
using figure::colour_of;
using namespace pdf;

constexpr double px = 0.75;  // one of a figure's units (1/96 inch) in points
constexpr Type entry_type{9.75, PANGO_WEIGHT_SEMIBOLD, ink, false};

constexpr double least_of_a_picture = 0.8;  // of its height, where that fills the page and saves another
constexpr double short_text = 40.0;         // points: three lines, read with what follows

/// Writes blocks down the pages. Run twice: the first run counts the pages.
class Pages : private Sheet {
  public:
    Pages(cairo_t* context, cairo_surface_t* surface, const Document& d, figure::Size size, int pages)
        : Sheet(context, surface, d, size, pages) {}

    int write() {
        y = margin;
        text(d_.title, {21.0, PANGO_WEIGHT_SEMIBOLD, ink, false}, margin, width());
        if (!d_.subtitle.empty())
            text(d_.subtitle, {13.0, PANGO_WEIGHT_NORMAL, faint, false}, margin, width());
        gap(4.0);
        for (at_ = 0; at_ < d_.blocks.size(); ++at_) std::visit(*this, d_.blocks[at_]);
        end_page();
        return page();
    }

    void operator()(const Heading& h) {
        gap(h.minor ? 6.0 : 12.5);
        need(ahead());
        if (!h.minor) outline(h.text);
        text(h.text, type_of(h), margin, width());
        gap(h.minor ? 1.5 : 3.0);
    }

    void operator()(const Paragraph& p) {
        need(start_of(p.text, type_of(p), width()));
        text(p.text, type_of(p), margin, width());
        gap(4.0);
    }

    void operator()(const Callout& callout) {
        const double inner = width() - 58.0;
        const Type head{14.5, PANGO_WEIGHT_SEMIBOLD, ink, false}, body{};
        double height = 24.0 + height_of(callout.headline, head, inner);
        for (const auto& s : callout.sentences) height += 2.5 + height_of(s, body, inner);
        gap(12.0);
        need(std::min(height, room_of_a_page()));
        const double top = y;
        const auto colour = callout.mark == Callout::Mark::good  ? colour_of(0x00805D)
                            : callout.mark == Callout::Mark::bad ? colour_of(0xB54F00)
                                                                 : faint;
        sign(callout.mark, colour, {margin + 22.0, top + 21.0});
        y += 11.0;
        const int before = page();
        text(callout.headline, head, margin + 44.0, inner);
        for (const auto& s : callout.sentences) {
            y += 2.5;
            text(s, body, margin + 44.0, inner);
        }
        y += 11.0;
        if (before == page()) box(top, colour);  // unless its text ran over the page
    }

    /// Labels beside values; more than four rows of short ones stand in two columns.
    void operator()(const Facts& f) {
        gap(f.wide ? 12.0 : 4.0);
        const std::size_t columns = f.rows.size() > 4 && !f.wide ? 2 : 1;
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
            const double top = y;
            double after = y;
            for (std::size_t k = i; k < std::min(i + columns, f.rows.size()); ++k) {
                const double left = margin + static_cast<double>(k - i) * (column + 18.0);
                if (whole) y = top;
                text(f.rows[k].first, {9.75, PANGO_WEIGHT_NORMAL, faint, false}, left, label - 8.0);
                after = whole ? std::max(after, y) : y;
                if (whole) y = top;
                text(f.rows[k].second, {}, left + label, column - label);
                after = whole ? std::max(after, y) : y;
            }
            y = after + (f.wide ? 5.0 : 1.5);
        }
    }

    void operator()(const Items& list) { items(list, margin); }

    void operator()(const Entry& e) {
        gap(5.0);
        need(entry_height(e));
        const double top = y;
        text(e.number, entry_type, margin, 52.0);
        y = top;
        text(e.title, entry_type, margin + 56.0, width() - 56.0);
        items(e.items, margin + 56.0);
    }

    void operator()(const Table& t) {
        const auto widths = widths_of(t);
        gap(2.0);
        need(start(t));
        table_head(t, widths);
        for (const auto& row : t.rows) {
            const double height = row_height(t, widths, row);
            if (y + std::min(height + 7.0, room_of_a_page() - 30.0) > bottom()) {
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
        const double left = bottom() - y - 4.0;
        if (high * scale > left && high * scale * least_of_a_picture <= left) high = left / scale;
        need(high * scale + 4.0);
        cairo_save(c);
        cairo_translate(c, margin, y);
        cairo_scale(c, scale, scale);
        {
            figure::CairoPainter painter(c);
            figure::paint(figure::lay_out(p.figure, {wide * px / scale, high}, {}, painter), painter, false);
        }
        cairo_restore(c);
        y += high * scale + 4.0;
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
            const double foot_line = y + height;
            for (std::size_t k = i; k < end; ++k) {
                const double left = margin + static_cast<double>(k - i) * (column + 18.0);
                y = foot_line - height_of(b.labels[k], type, widest);
                text(b.labels[k], type, left, widest);
                const double from = left + std::min(width_of(b.labels[k], type), widest) + 6.0;
                line({from, foot_line - 1.5}, {left + column, foot_line - 1.5}, rule, 0.8);
            }
            y = foot_line;
        }
    }

    void operator()(const SmallPrint& s) {
        for (const auto& text_line : s.lines)
            text(text_line, {7.5, PANGO_WEIGHT_NORMAL, faint, false}, margin, width());
    }

  private:
    // What must stay together -------------------------------------------------------------------------------

    /// A heading with all that it needs below it on its page: further headings and short paragraphs, and the
    /// start of what comes then.
    [[nodiscard]] double ahead() const {
        double height = 0.0;
        for (std::size_t i = at_; i < d_.blocks.size(); ++i) {
            height += std::visit([&](const auto& block) { return start(block); }, d_.blocks[i]);
            const auto* p = std::get_if<Paragraph>(&d_.blocks[i]);
            const bool leads = std::holds_alternative<Heading>(d_.blocks[i]) ||
                               (p && height_of(p->text, type_of(*p), width()) <= short_text * d_.enlarge);
            if (!leads) break;
        }
        return std::min(height, room_of_a_page() - 20.0);
    }
    /// So much of a block that it may be the last thing on a page.
    [[nodiscard]] double start(const Heading& h) const {
        return height_of(h.text, type_of(h), width()) + (h.minor ? 7.5 : 6.0) * d_.enlarge;
    }
    [[nodiscard]] double start(const Paragraph& p) const {
        return start_of(p.text, type_of(p), width()) + 4.0 * d_.enlarge;
    }
    [[nodiscard]] double start(const Picture& p) const {
        return figure::natural_height(p.figure, width() / px) * px * least_of_a_picture + 9.0;
    }
    [[nodiscard]] double start(const Table& t) const {
        return 28.0 * d_.enlarge + (t.rows.empty() ? 0.0 : row_height(t, widths_of(t), t.rows.front()) + 7.0);
    }
    [[nodiscard]] double start(const Entry& e) const { return 5.0 * d_.enlarge + entry_height(e); }
    [[nodiscard]] double start(const Items& list) const {
        return list.items.empty() ? 0.0 : start_of(list.items.front().text, {}, width() - 16.0);
    }
    [[nodiscard]] double start(const Callout&) const { return 80.0 * d_.enlarge; }
    [[nodiscard]] double start(const SmallPrint&) const { return 24.0 * d_.enlarge; }
    template <class Other>
    [[nodiscard]] double start(const Other&) const {
        return 34.0 * d_.enlarge;
    }

    /// A suspect with few reasons stays together; a long list may run over.
    [[nodiscard]] double entry_height(const Entry& e) const {
        double height = height_of(e.title, entry_type, width() - 56.0);
        for (const auto& item : e.items.items) height += height_of(item.text, {}, width() - 72.0) + 1.5;
        return height < room_of_a_page() / 2.0 ? height : 40.0;
    }

    [[nodiscard]] static Type type_of(const Heading& h) {
        return {h.minor ? 10.25 : 12.5, PANGO_WEIGHT_SEMIBOLD, ink, false};
    }
    [[nodiscard]] static Type type_of(const Paragraph& p) {
        const bool lead = p.tone == Paragraph::Tone::lead, small = p.tone == Paragraph::Tone::faint;
        return {lead ? 11.25 : small ? 8.75 : 9.75, PANGO_WEIGHT_NORMAL, small ? faint : ink, false};
    }

    void items(const Items& list, double left) {
        for (const auto& item : list.items) {
            need(start_of(item.text, {}, margin + width() - left - 16.0));
            const double top = y;
            text(item.mark, {9.75, PANGO_WEIGHT_SEMIBOLD, ink, false}, left, 14.0);
            y = top;
            text(item.text, {}, left + 16.0, margin + width() - left - 16.0);
            y += 1.5;
        }
    }

    // Tables ------------------------------------------------------------------------------------------------

    [[nodiscard]] static Type cell_type(const Table& t, std::size_t column) {
        return {9.25, PANGO_WEIGHT_NORMAL, ink, column < t.columns.size() && t.columns[column].right};
    }
    [[nodiscard]] std::vector<double> widths_of(const Table& t) const {
        double shares = 0.0;
        for (const auto& column : t.columns) shares += column.share;
        std::vector<double> widths;
        for (const auto& column : t.columns) widths.push_back(width() * column.share / shares);
        return widths;
    }
    [[nodiscard]] double row_height(const Table& t, const std::vector<double>& widths,
                                    const std::vector<std::string>& row) const {
        double height = 0.0;
        for (std::size_t i = 0; i < std::min(row.size(), widths.size()); ++i)
            height = std::max(height, height_of(row[i], cell_type(t, i), widths[i] - 13.0));
        return height;
    }
    void table_head(const Table& t, const std::vector<double>& widths) {
        double x = margin, after = y;
        const double top = y;
        for (std::size_t i = 0; i < t.columns.size(); ++i) {
            y = top;
            text(t.columns[i].title, {8.5, PANGO_WEIGHT_MEDIUM, faint, t.columns[i].right}, x,
                 widths[i] - 13.0);
            after = std::max(after, y);
            x += widths[i];
        }
        y = after + 2.0;
        line({margin, y}, {margin + width(), y}, faint, 0.9);
        y += 2.5;
    }
    void cells(const Table& t, const std::vector<double>& widths, const std::vector<std::string>& row) {
        const double top = y;
        const int before = page();
        double x = margin, after = y;
        for (std::size_t i = 0; i < std::min(row.size(), widths.size()); ++i) {
            if (before == page()) y = top;
            text(row[i], cell_type(t, i), x, widths[i] - 13.0);
            after = before == page() ? std::max(after, y) : y;
            x += widths[i];
        }
        y = after + 2.5;
        line({margin, y}, {margin + width(), y}, rule, 0.5);
        y += 2.5;
    }

    std::size_t at_ = 0;  // the block that is being written
};

cairo_status_t append(void* to, const unsigned char* data, unsigned int length) {
    if (to) static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), length);
    return CAIRO_STATUS_SUCCESS;
}

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
