// How the window looks: colours by purpose, sizes, type. Figures bring their own theme of the same colours.
#pragma once

#include <imgui.h>

#include <array>
#include <string>
#include <vector>

#include "figure/painter.hpp"
#include "figure/theme.hpp"

namespace cranknote::desk {

/// One cut of the typeface at one size, in the atlas.
struct Cut {
    double size = 0.0;  ///< px of the em
    figure::Weight weight = figure::Weight::regular;
    ImFont* font = nullptr;
    /// What the library is told to draw text of an em of `wanted` px; as rasterized where that is near.
    [[nodiscard]] float line_for(double wanted) const;
};

/// What a colour of the window is for. Contrast of each text colour on paper and tint is at least 4.5:1
/// (WCAG 2.2, 1.4.3), tested.
enum class Tone {
    paper,  ///< the sheet
    tint,   ///< the side of the sheet, fields to type in
    line,   ///< hairlines
    text,
    faint,   ///< secondary text
    act,     ///< what is to be done next: filled buttons, selection
    on_act,  ///< text on it
    warn,    ///< cautions and recording: filled
    on_warn,
    warn_text,
    good_text,
    hover,  ///< below the pointer
    chosen  ///< a chosen row
};

struct Look {
    figure::Theme theme;      ///< of figures; its scale is larger than `scale`, for reading at arm's length
    double scale = 1.0;       ///< 1 to 3
    std::vector<Cut> cuts{};  ///< what the atlas holds

    [[nodiscard]] figure::Colour colour(Tone tone) const;
    [[nodiscard]] ImU32 ink(Tone tone) const;
    [[nodiscard]] float px(double at_scale_1) const { return static_cast<float>(at_scale_1 * scale); }
    /// The cut nearest to a size (px) and weight, the larger of two equally near. nullptr before fonts are
    /// loaded.
    [[nodiscard]] const Cut* cut(double size, figure::Weight weight) const;
};

/// Type sizes of the window in px at scale 1.
inline constexpr double small_type = 14.0, body_type = 16.0, lead_type = 19.0, head_type = 25.0;
/// A control that a thumb in a glove hits (WCAG 2.2, 2.5.5: at least 44).
inline constexpr double touch = 44.0;
/// Figures at scale 1 have small type of 11; this makes it `small_type`.
inline constexpr double figure_scale = small_type / 11.0;

[[nodiscard]] Look make_look(figure::Mode mode, double scale);
[[nodiscard]] ImU32 packed(figure::Colour colour);

/// Colours, roundings and gaps of the library's own parts (fields to type in, scroll bars).
void apply_style(const Look& look);

/// Fills the atlas with the cuts that the look needs, pixels and all. Type is Inter where it is installed,
/// else DejaVu Sans. Needs no window. Throws Error where neither is there.
void load_fonts(Look& look, ImFontAtlas& atlas);

}  // namespace cranknote::desk
