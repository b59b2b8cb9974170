#include "layout/belts.hpp"

#include <charconv>
#include <cmath>
#include <numbers>
#include <string>

namespace cranknote {

namespace {

/// Reads what it is asked for from the front of a text; any miss makes `ok` false and stays.
struct Scanner {
    std::string_view rest;
    bool ok = true;

    double number() {
        double value = 0.0;
        const auto [end, failed] =
            std::from_chars(rest.data(), rest.data() + rest.size(), value, std::chars_format::fixed);
        if (failed != std::errc{} || !std::isfinite(value) || value <= 0.0) {
            ok = false;
            return 0.0;
        }
        rest.remove_prefix(static_cast<std::size_t>(end - rest.data()));
        return value;
    }
    bool word(std::string_view w) {
        const bool there = rest.substr(0, w.size()) == w;
        if (there) rest.remove_prefix(w.size());
        return there;
    }
    [[nodiscard]] bool done() const { return ok && rest.empty(); }
};

/// Capitals, without spaces and dashes; a decimal comma becomes a point.
std::string plain(std::string_view text) {
    std::string out;
    for (char c : text.substr(0, 40)) {
        if (c == ' ' || c == '-' || c == '_') continue;
        if (c == ',') c = '.';
        out += c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
    }
    return out;
}

std::optional<int> count_between(double n, int low, int high) {
    if (n != std::floor(n) || n < low || n > high) return std::nullopt;
    return static_cast<int>(n);
}

bool usual_length(double mm) { return mm >= 200 && mm <= 6000; }

/// "5PK1025"
std::optional<BeltSize> ribbed(std::string_view text) {
    Scanner s{text};
    const auto ribs = count_between(s.number(), 2, 20);
    if (!s.word("PK")) return std::nullopt;
    const double effective = s.number();
    if (!s.done() || !ribs || !usual_length(effective)) return std::nullopt;
    // The cord runs be outside the effective line all round: 2 pi be longer whatever the pulleys.
    const double cord = effective + 2.0 * std::numbers::pi * pk_cord_offset_mm;
    return BeltSize{DriveKind::ribbed, ribs, {}, {}, Millimetres{cord}};
}

/// "AVX10X1025", "10X1025", "12.5X1025LA"
std::optional<BeltSize> vee(std::string_view text) {
    Scanner s{text};
    s.word("AVX") || s.word("AV");
    const double width = s.number();
    if (!s.word("X")) return std::nullopt;
    const double outside = s.number();
    s.word("LA");
    if (!s.done() || width < 8 || width > 25 || !usual_length(outside)) return std::nullopt;
    // The cord lies about 1.5 mm under the back: 2 pi times that shorter (common practice).
    return BeltSize{DriveKind::vee, {}, {}, {}, Millimetres{outside - 2.0 * std::numbers::pi * 1.5}};
}

/// "113ZA19": Z types have 9.525 mm pitch, Y types 8 mm
std::optional<BeltSize> toothed_by_type(std::string_view text) {
    Scanner s{text};
    const auto teeth = count_between(s.number(), 20, 400);
    const double pitch = s.word("Z") ? 9.525 : s.word("Y") ? 8.0 : 0.0;
    if (pitch == 0.0 || s.rest.empty() || s.rest[0] < 'A' || s.rest[0] > 'Z') return std::nullopt;
    s.rest.remove_prefix(1);
    if (!s.rest.empty()) s.number();
    if (!s.done() || !teeth) return std::nullopt;
    return BeltSize{DriveKind::toothed, {}, teeth, Millimetres{pitch}, Millimetres{*teeth * pitch}};
}

/// "10728M" from "1072-8M": the pitch is the last of 3, 5, 8, 14 before the M
std::optional<BeltSize> toothed_by_length(std::string_view printed) {
    const auto dash = printed.find('-');
    if (dash == std::string_view::npos) return std::nullopt;
    const std::string length_text = plain(printed.substr(0, dash)),
                      pitch_text = plain(printed.substr(dash + 1));
    Scanner l{length_text}, p{pitch_text};
    const double length = l.number();
    const double pitch = p.number();
    if (!l.done() || !p.word("M") || !usual_length(length)) return std::nullopt;
    if (pitch != 3 && pitch != 5 && pitch != 8 && pitch != 14) return std::nullopt;
    const double teeth = length / pitch;
    if (std::abs(teeth - std::round(teeth)) > 1e-6) return std::nullopt;
    return BeltSize{
        DriveKind::toothed, {}, static_cast<int>(std::round(teeth)), Millimetres{pitch}, Millimetres{length}};
}

}  // namespace

std::optional<BeltSize> read_belt_size(std::string_view printed) {
    const auto text = plain(printed);
    if (auto size = ribbed(text)) return size;
    if (auto size = vee(text)) return size;
    if (auto size = toothed_by_type(text)) return size;
    return toothed_by_length(printed);
}

}  // namespace cranknote
