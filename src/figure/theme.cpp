#include "figure/theme.hpp"

#include <algorithm>
#include <cmath>

namespace cranknote::figure {

namespace {

// The published set, and darker or lighter kin of the same hue where text or thin strokes need the contrast.
constexpr Colour blue = colour_of(0x0072B2), sky = colour_of(0x56B4E9), green = colour_of(0x009E73),
                 vermillion = colour_of(0xD55E00), orange = colour_of(0xE69F00), purple = colour_of(0xCC79A7);

struct Pair {
    Colour light, dark;
};

Pair stroke_pair(Ink ink) {
    switch (ink) {
        case Ink::text:
            return {colour_of(0x1B1E22), colour_of(0xECEEF0)};
        case Ink::faint:
            return {colour_of(0x5B6168), colour_of(0xA3A9B0)};
        case Ink::grid:
            return {colour_of(0xE2E4E7), colour_of(0x31363C)};
        case Ink::axis:
            return {colour_of(0x8A9097), colour_of(0x6C737B)};
        case Ink::side_a:
            return {colour_of(0x004A75), sky};
        case Ink::side_b:
            return {orange, colour_of(0xB87C00)};
        case Ink::change:
            return {colour_of(0x33383E), colour_of(0xD5D9DD)};
        case Ink::spread:
            return {colour_of(0xB9BEC4), colour_of(0x50575F)};
        case Ink::quieter:
            return {green, colour_of(0x1FB98C)};
        case Ink::louder:
            return {vermillion, colour_of(0xF07F2B)};
        case Ink::expected:
            return {colour_of(0x8A9097), colour_of(0x8A9097)};
        case Ink::doubt:
            return {vermillion, colour_of(0xF07F2B)};
        case Ink::predicted:
        case Ink::lit:
            return {purple, colour_of(0xE39CC4)};
        case Ink::metal:
            return {colour_of(0x3C4248), colour_of(0xC3C9CF)};
        case Ink::back:
            return {colour_of(0x8A9097), colour_of(0x7B828A)};
        case Ink::belt:
            return {colour_of(0x15181B), colour_of(0xF4F6F8)};
        case Ink::belt_teeth:
            return {colour_of(0xFFFFFF), colour_of(0x16191C)};
        case Ink::cover:
            return {blue, sky};
        case Ink::ghost_line:
            return {colour_of(0xC4C9CE), colour_of(0x4A5159)};
        case Ink::paper:
            return {colour_of(0xFFFFFF), colour_of(0x16191C)};
        case Ink::ghost:
            return {colour_of(0xA9AFB5), colour_of(0x5D646C)};
        case Ink::outside:
            return {colour_of(0xF1F2F4), colour_of(0x23272C)};
    }
    return {};
}

Pair text_pair(Ink ink) {
    switch (ink) {
        case Ink::side_b:
            return {colour_of(0x8A5A00), orange};
        case Ink::quieter:
            return {colour_of(0x00694D), colour_of(0x35CFA2)};
        case Ink::louder:
        case Ink::doubt:
            return {colour_of(0xA84800), colour_of(0xFF9A52)};
        case Ink::predicted:
        case Ink::lit:
            return {colour_of(0x8E3A6B), colour_of(0xE9B0D0)};
        case Ink::expected:
        case Ink::ghost:
        case Ink::back:
        case Ink::axis:
            return {colour_of(0x5B6168), colour_of(0xA3A9B0)};
        case Ink::cover:
            return {colour_of(0x005C90), sky};
        default:
            return stroke_pair(ink);
    }
}

double linear(double v) { return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4); }

}  // namespace

Colour mixed(Colour a, Colour b, double share) {
    const auto mix = [share](double u, double v) { return u + share * (v - u); };
    return {mix(a.red, b.red), mix(a.green, b.green), mix(a.blue, b.blue), mix(a.alpha, b.alpha)};
}

double luminance(Colour c) {
    return 0.2126 * linear(c.red) + 0.7152 * linear(c.green) + 0.0722 * linear(c.blue);
}

double contrast(Colour a, Colour b) {
    const double la = luminance(a), lb = luminance(b);
    return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

Colour Theme::paper() const { return mode == Mode::light ? colour_of(0xFFFFFF) : colour_of(0x16191C); }

Colour Theme::colour(Ink ink) const {
    const auto pair = stroke_pair(ink);
    return mode == Mode::light ? pair.light : pair.dark;
}

Colour Theme::area(Ink ink) const {
    switch (ink) {
        case Ink::metal:
            return mode == Mode::light ? colour_of(0xEDEFF1) : colour_of(0x2B3036);
        case Ink::back:
            return mode == Mode::light ? colour_of(0xF7F8F9) : colour_of(0x1F2328);
        case Ink::outside:
        case Ink::paper:
            return colour(ink);
        case Ink::cover:
            return mixed(paper(), colour(ink), 0.07);
        case Ink::spread:
            return colour(ink).faded(0.55);
        default:
            return colour(ink).faded(mode == Mode::light ? 0.16 : 0.26);
    }
}

Colour Theme::text_colour(Ink ink) const {
    const auto pair = text_pair(ink);
    return mode == Mode::light ? pair.light : pair.dark;
}

double Theme::width(Ink ink) const {
    switch (ink) {
        case Ink::grid:
            return 0.8 * scale;
        case Ink::side_b:
            return 2.3 * scale;
        case Ink::side_a:
            return 1.1 * scale;
        case Ink::change:
            return 1.6 * scale;
        case Ink::belt:
            return 3.4 * scale;
        case Ink::belt_teeth:
            return 1.3 * scale;
        case Ink::predicted:
            return 1.6 * scale;
        case Ink::lit:
        case Ink::doubt:
            return 2.4 * scale;
        case Ink::metal:
        case Ink::cover:
            return 1.3 * scale;
        default:
            return 1.0 * scale;
    }
}

std::vector<double> Theme::dash(Ink ink) const {
    switch (ink) {
        case Ink::ghost:
            return {3.0 * scale, 3.0 * scale};
        case Ink::cover:
            return {9.0 * scale, 3.0 * scale, 2.0 * scale,
                    3.0 * scale};  // a phantom line, as drawings have it
        case Ink::expected:
            return {5.0 * scale, 3.0 * scale};
        case Ink::predicted:
            return {2.0 * scale, 2.0 * scale};
        case Ink::belt_teeth:
            return {1.6 * scale, 2.4 * scale};
        default:
            return {};
    }
}

Colour Theme::heat(double share) const {
    const double s = std::clamp(share, 0.0, 1.0);
    const Colour middle = mode == Mode::light ? colour_of(0x4E97C4) : colour_of(0x1F6A9C);
    const Colour full = mode == Mode::light ? colour_of(0x02263D) : colour_of(0xD6EEFF);
    return s < 0.5 ? mixed(paper(), middle, 2.0 * s) : mixed(middle, full, 2.0 * s - 1.0);
}

}  // namespace cranknote::figure
