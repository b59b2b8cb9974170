#include "figure/utf8.hpp"

#include <algorithm>
#include <array>

namespace cranknote {

namespace {

constexpr char32_t broken = 0xFFFD;

struct Decoded {
    char32_t point;
    std::size_t bytes;
};

/// The code point at the start of `s` (not empty). Overlong forms, surrogates and stray bytes are `broken`.
Decoded decode(std::string_view s) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(s[i]); };
    const unsigned lead = byte(0);
    if (lead < 0x80) return {lead, 1};
    const std::size_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
    if (lead < 0xC2 || lead > 0xF4 || s.size() < length) return {broken, 1};
    char32_t point = lead & (0xFFu >> (length + 1));
    for (std::size_t i = 1; i < length; ++i) {
        if ((byte(i) & 0xC0u) != 0x80u) return {broken, 1};
        point = (point << 6) | (byte(i) & 0x3Fu);
    }
    constexpr std::array<char32_t, 5> least{0, 0, 0x80, 0x800, 0x10000};
    const bool wrong = point < least[length] || point > 0x10FFFF || (point >= 0xD800 && point <= 0xDFFF);
    return wrong ? Decoded{broken, 1} : Decoded{point, length};
}

void append(std::string& out, char32_t p) {
    const auto put = [&](char32_t v) { out.push_back(static_cast<char>(v)); };
    if (p < 0x80) {
        put(p);
    } else if (p < 0x800) {
        put(0xC0 | (p >> 6));
        put(0x80 | (p & 0x3F));
    } else if (p < 0x10000) {
        put(0xE0 | (p >> 12));
        put(0x80 | ((p >> 6) & 0x3F));
        put(0x80 | (p & 0x3F));
    } else {
        put(0xF0 | (p >> 18));
        put(0x80 | ((p >> 12) & 0x3F));
        put(0x80 | ((p >> 6) & 0x3F));
        put(0x80 | (p & 0x3F));
    }
}

bool is_control(char32_t p) { return p < 0x20 || (p >= 0x7F && p < 0xA0) || p == 0x2028 || p == 0x2029; }

/// Direction overrides, embeddings and isolates; the byte-order mark; tag characters; noncharacters.
bool is_dropped(char32_t p) {
    return (p >= 0x202A && p <= 0x202E) || (p >= 0x2066 && p <= 0x2069) || p == 0xFEFF || p == 0x200E ||
           p == 0x200F || (p >= 0xE0000 && p <= 0xE007F) || (p & 0xFFFE) == 0xFFFE;
}

using Span = std::array<char32_t, 2>;

template <std::size_t N>
bool in_any(char32_t p, const std::array<Span, N>& spans) {
    return std::any_of(spans.begin(), spans.end(), [&](const Span& s) { return p >= s[0] && p <= s[1]; });
}

// The main blocks only (Unicode Standard, EastAsianWidth and combining marks): enough for columns of a table.
constexpr std::array<Span, 8> combining{Span{0x300, 0x36F},   {0x483, 0x489},   {0x591, 0x5BD},
                                        Span{0x64B, 0x65F},   {0x1AB0, 0x1AFF}, {0x20D0, 0x20FF},
                                        Span{0x200B, 0x200D}, {0xFE00, 0xFE0F}};
constexpr std::array<Span, 6> wide{Span{0x1100, 0x115F}, {0x2E80, 0xA4CF}, {0xAC00, 0xD7A3},
                                   Span{0xF900, 0xFAFF}, {0xFF00, 0xFF60}, {0x1F300, 0x1FAFF}};

std::size_t width_of(char32_t p) { return in_any(p, combining) ? 0 : in_any(p, wide) ? 2 : 1; }

/// The longest start of `text` that fits `columns`, at least one code point, in bytes.
std::size_t bytes_that_fit(std::string_view text, std::size_t columns) {
    std::size_t bytes = 0, used = 0;
    while (bytes < text.size()) {
        const auto next = decode(text.substr(bytes));
        used += width_of(next.point);
        if (used > columns && bytes > 0) break;
        bytes += next.bytes;
    }
    return bytes;
}

/// Adds one paragraph, without a line feed at its end.
void wrap_paragraph(std::string& out, std::string_view text, std::size_t columns, std::string_view first,
                    std::string_view next) {
    out += first;
    std::size_t used = columns_of(first);
    bool empty = true;
    const auto new_line = [&] {
        out += '\n';
        out += next;
        used = columns_of(next);
        empty = true;
    };
    while (!text.empty()) {
        const auto end = std::min(text.find(' '), text.size());
        auto word = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        if (word.empty()) continue;
        if (!empty && used + 1 + columns_of(word) > columns) new_line();
        if (!empty) {
            out += ' ';
            ++used;
        }
        while (used + columns_of(word) > columns) {
            const auto part = bytes_that_fit(word, columns > used ? columns - used : 1);
            if (part >= word.size()) break;
            out += word.substr(0, part);
            word.remove_prefix(part);
            new_line();
        }
        out += word;
        used += columns_of(word);
        empty = false;
    }
}

}  // namespace

std::u32string code_points(std::string_view text) {
    std::u32string points;
    while (!text.empty()) {
        const auto next = decode(text);
        points.push_back(next.point);
        text.remove_prefix(next.bytes);
    }
    return points;
}

std::string utf8_of(std::u32string_view points) {
    std::string out;
    for (const auto p : points) append(out, p);
    return out;
}

std::string clean_line(std::string_view text) {
    std::u32string out;
    for (const auto p : code_points(text)) {
        if (is_dropped(p)) continue;
        const char32_t shown = is_control(p) ? U' ' : p;
        if (shown == U' ' && (out.empty() || out.back() == U' ')) continue;
        out.push_back(shown);
    }
    while (!out.empty() && out.back() == U' ') out.pop_back();
    return utf8_of(out);
}

std::string clean_text(std::string_view text) {
    std::string out;
    int breaks = 2;  // none at the start
    while (true) {
        const auto end = text.find('\n');
        const auto line = clean_line(text.substr(0, end));
        if (!line.empty()) {
            out += line;
            breaks = 0;
        }
        if (end == std::string_view::npos) break;
        if (breaks < 2) out += '\n';
        ++breaks;
        text.remove_prefix(end + 1);
    }
    while (!out.empty() && out.back() == '\n') out.pop_back();
    return out;
}

std::size_t columns_of(std::string_view text) {
    std::size_t columns = 0;
    for (const auto p : code_points(text)) columns += width_of(p);
    return columns;
}

std::string shortened(std::string_view text, std::size_t count) {
    auto points = code_points(text);
    if (points.size() <= count) return utf8_of(points);
    points.resize(count > 0 ? count - 1 : 0);
    while (!points.empty() && points.back() == U' ') points.pop_back();
    return utf8_of(points) + (count > 0 ? "\u2026" : "");
}

std::string wrapped(std::string_view text, std::size_t columns, std::string_view first,
                    std::string_view next) {
    std::string out;
    auto begin = first;
    while (true) {
        const auto end = text.find('\n');
        wrap_paragraph(out, text.substr(0, end), columns, begin, next);
        if (end == std::string_view::npos) break;
        out += '\n';
        text.remove_prefix(end + 1);
        begin = next;
    }
    return out;
}

}  // namespace cranknote
