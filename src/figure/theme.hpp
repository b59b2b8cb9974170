// How a figure looks: inks (what a stroke stands for) to colours, widths and dashes; type sizes.
//
// Colours are from the set of Okabe and Ito ("Color Universal Design", 2008), which stays apart for
// colour-blind readers; lightness and stroke differ as well, so that a grey print keeps the difference:
// the first side is thin and dark, the second broad and light.
#pragma once

#include <cstdint>
#include <vector>

namespace cranknote::figure {

struct Colour {
    double red = 0.0, green = 0.0, blue = 0.0, alpha = 1.0;  ///< 0 to 1, not premultiplied, sRGB
    bool operator==(const Colour&) const = default;
    [[nodiscard]] constexpr Colour faded(double factor) const { return {red, green, blue, alpha * factor}; }
};

/// 0xRRGGBB.
[[nodiscard]] constexpr Colour colour_of(std::uint32_t rgb, double alpha = 1.0) {
    return {((rgb >> 16) & 0xFF) / 255.0, ((rgb >> 8) & 0xFF) / 255.0, (rgb & 0xFF) / 255.0, alpha};
}
/// `share` of b over a.
[[nodiscard]] Colour mixed(Colour a, Colour b, double share);
/// WCAG 2.2 relative luminance, and contrast ratio (1 to 21) of two opaque colours.
[[nodiscard]] double luminance(Colour c);
[[nodiscard]] double contrast(Colour a, Colour b);

/// What a stroke, area or text stands for.
enum class Ink {
    text,
    faint,      ///< secondary text, axis labels
    grid,       ///< thin lines behind the data
    axis,       ///< zero lines, frames
    side_a,     ///< the first state: thin and dark
    side_b,     ///< the second state: broad and light
    change,     ///< their difference
    spread,     ///< an interval around a line
    quieter,    ///< gone or weaker
    louder,     ///< new or stronger
    expected,   ///< changed, but no complaint
    doubt,      ///< suspicion
    predicted,  ///< lines that the layout predicts
    lit,        ///< what the pointer is on, and what belongs to it
    metal,      ///< pulleys and wheels, in front
    back,       ///< pulleys and wheels of the timing drive, behind
    belt,
    belt_teeth,  ///< dots along a toothed belt or chain, over its stroke
    cover,
    ghost_line,  ///< thin inner lines of a drawing
    paper,       ///< the page itself, to cover what is behind
    ghost,       ///< what is off
    outside      ///< what could not be compared
};

enum class Mode { light, dark };

struct Theme {
    Mode mode = Mode::light;
    double scale = 1.0;  ///< of type, strokes and gaps; 2 for a screen read from afar

    [[nodiscard]] Colour paper() const;
    [[nodiscard]] Colour colour(Ink ink) const;       ///< for strokes
    [[nodiscard]] Colour area(Ink ink) const;         ///< for areas: paler
    [[nodiscard]] Colour text_colour(Ink ink) const;  ///< at least 4.5:1 on paper (WCAG 2.2, 1.4.3)
    [[nodiscard]] double width(Ink ink) const;
    [[nodiscard]] std::vector<double> dash(Ink ink) const;  ///< lengths on, off, ...; empty: solid
    [[nodiscard]] double small() const { return 11.0 * scale; }
    [[nodiscard]] double normal() const { return 12.5 * scale; }
    [[nodiscard]] double title() const { return 15.0 * scale; }
    [[nodiscard]] double gap() const { return 8.0 * scale; }
    /// One hue from paper (0) to full (1), lightness falling evenly: for heat maps.
    [[nodiscard]] Colour heat(double share) const;
};

}  // namespace cranknote::figure
