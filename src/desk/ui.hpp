// The window's own controls: words that are buttons, sentences, rows. All of them at least `touch` high.
#pragma once

#include <imgui.h>

#include <string>
#include <string_view>
#include <vector>

#include "desk/look.hpp"
#include "figure/geometry.hpp"

namespace cranknote::desk {

/// Where things stand in a frame, by name, and which texts had no room: for tests, which point and read.
struct Places {
    struct Item {
        std::string id;
        figure::Box box;
    };
    std::vector<Item> items;
    std::vector<std::string> cut;  ///< texts shown with an ellipsis, or over an edge
};

enum class Press {
    act,    ///< what is to be done next: filled
    plain,  ///< outlined
    quiet,  ///< words alone
    warn    ///< recording, and what cannot be taken back
};

/// Type of a text.
struct Type {
    double size = body_type;  ///< at scale 1
    figure::Weight weight = figure::Weight::regular;
    Tone tone = Tone::text;
};
inline constexpr Type body{}, small{small_type, figure::Weight::regular, Tone::faint},
    strong{body_type, figure::Weight::bold, Tone::text}, lead{lead_type, figure::Weight::bold, Tone::text},
    head{head_type, figure::Weight::bold, Tone::text};

[[nodiscard]] constexpr Type in(Type type, Tone tone) {
    type.tone = tone;
    return type;
}

class Ui {
  public:
    Ui(const Look& look_of_window, Places* places) : look(look_of_window), places_(places) {}

    const Look& look;

    [[nodiscard]] float px(double v) const { return look.px(v); }
    [[nodiscard]] ImU32 ink(Tone tone) const { return look.ink(tone); }
    [[nodiscard]] ImVec2 measure(std::string_view text, Type type, float wrap = 0.0f) const;
    /// The text in lines of at most `wrap` px, broken at spaces alone: no number is torn at its point. At
    /// most `most` lines, the last ended with an ellipsis where there is more.
    [[nodiscard]] std::vector<std::string> broken(std::string_view text, Type type, float wrap,
                                                  std::size_t most = 1000) const;

    /// A text at the cursor, broken at spaces to the room there is (or to `wrap` px).
    void say(std::string_view text, Type type = body, float wrap = 0.0f);
    /// One line with its top left at a place of the screen; with `room` > 0 ended with an ellipsis there.
    /// Returns its width.
    float line(ImVec2 at, std::string_view text, Type type, float room = 0.0f);
    /// The same for a text that a person typed, which may be of any length.
    float name_line(ImVec2 at, std::string_view text, Type type, float room);

    /// A button with a word. `width` 0: as wide as it needs; -1: all there is. `key` is shown small.
    bool button(std::string_view id, std::string_view label, Press press = Press::plain, float width = 0.0f,
                std::string_view key = {}, bool enabled = true);
    /// How wide a button with these words is.
    [[nodiscard]] float button_width(std::string_view label, std::string_view key = {}) const;
    /// A word that is on or off.
    bool toggle(std::string_view id, std::string_view label, bool on, float width = 0.0f);
    /// An area of the full width that can be pressed; what is in it is drawn by the caller afterwards.
    struct Area {
        bool pressed = false, hovered = false;
        ImVec2 from, to;
    };
    /// `bleed` px reach out on both sides, so that what is in it lines up with the text around it.
    Area area(std::string_view id, float height, bool chosen = false, float width = 0.0f, float bleed = 0.0f);

    void rule();  ///< a hairline over the width
    void gap(double at_scale_1);
    void heading(std::string_view text);
    /// A share from 0 to 1 as a bar of the room's width.
    void bar(ImVec2 at, float width, float height, double share, ImU32 colour) const;

    /// Notes where something stands, for tests.
    void note(std::string_view id, ImVec2 from, ImVec2 to);
    void note_cut(std::string_view text);
    [[nodiscard]] bool notes() const { return places_ != nullptr; }

  private:
    [[nodiscard]] std::string elided(std::string_view text, Type type, float room) const;
    Places* places_;
};

/// Pushes the font of a type for the library's own parts, as long as it lives.
class Font {
  public:
    Font(const Look& look, Type type);
    ~Font();
    Font(const Font&) = delete;
    Font& operator=(const Font&) = delete;
};

}  // namespace cranknote::desk
