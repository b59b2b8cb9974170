#include "note/plain_text.hpp"

#include <algorithm>

#include "figure/utf8.hpp"

namespace cranknote {

namespace {

using namespace document;

struct TextWriter {
    std::size_t columns;
    std::string out{};

    void lines(const std::string& text, const std::string& first = "", const std::string& next = "") {
        if (const auto clean = clean_text(text); !clean.empty())
            out += wrapped(clean, columns, first, next) + "\n";
    }
    void space() {
        if (!out.empty() && !out.ends_with("\n\n")) out += "\n";
    }

    void operator()(const Heading& h) {
        space();
        lines(h.text);
        if (h.minor) return;
        out += std::string(std::min(columns, columns_of(clean_line(h.text))), '-') + "\n";
    }
    void operator()(const Paragraph& p) { lines(p.text); }
    void operator()(const Callout& c) {
        space();
        const std::string mark = c.mark == Callout::Mark::good  ? "[ok] "
                                 : c.mark == Callout::Mark::bad ? "[!] "
                                                                : "[?] ";
        lines(c.headline, mark, std::string(mark.size(), ' '));
        for (const auto& s : c.sentences)
            lines(s, std::string(mark.size(), ' '), std::string(mark.size(), ' '));
    }
    void operator()(const Facts& f) {
        if (f.wide) space();
        for (const auto& [label, value] : f.rows)
            lines(clean_line(label) + ": " + (f.wide ? clean_text(value) : clean_line(value)), "", "  ");
    }
    void operator()(const Items& list) { items(list, ""); }
    void operator()(const Entry& e) {
        lines(clean_line(e.number) + "  " + clean_line(e.title), "", "    ");
        items(e.items, "    ");
    }
    void items(const Items& list, const std::string& indent) {
        for (const auto& item : list.items)
            lines(item.text, indent + item.mark + " ", indent + std::string(columns_of(item.mark) + 1, ' '));
    }
    /// A row is one line: columns would not survive a message in another font.
    void operator()(const Table& t) {
        for (const auto& row : t.rows) {
            std::string text;
            int written = 0;
            for (std::size_t i = 0; i < row.size(); ++i) {
                if (row[i].empty() || row[i] == "\u2013") continue;
                const bool named = i < t.columns.size() && t.columns[i].named_in_text;
                text += (written == 0   ? ""
                         : written == 1 ? ": "
                                        : "; ") +
                        (named ? t.columns[i].title + " " : "") + in_one_line(row[i]);
                ++written;
            }
            lines(text, "\u2022 ", "  ");
        }
    }
    static std::string in_one_line(const std::string& cell) {
        std::string out;
        for (const char c : clean_text(cell)) out += c == '\n' ? std::string(", ") : std::string(1, c);
        return out;
    }
    void operator()(const Picture& p) {
        if (p.in_text) lines(p.caption.empty() ? p.figure.description : p.caption, "  ", "  ");
    }
    void operator()(const Sounds& s) {
        space();
        lines(s.on_paper);
    }
    void operator()(const Blanks& b) {
        for (const auto& label : b.labels) lines(clean_line(label) + ": ____________");
    }
    void operator()(const SmallPrint& s) {
        for (const auto& text : s.lines) lines(text);
    }
};

}  // namespace

std::string plain_text_of(const Document& document, std::size_t columns) {
    TextWriter w{columns};
    w.lines(document.title);
    w.lines(document.subtitle);
    w.space();
    for (const auto& block : document.blocks) std::visit(w, block);
    return std::move(w.out);
}

}  // namespace cranknote
