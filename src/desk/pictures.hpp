// The figures of the window, laid out once for what they show and kept until that changes.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <utility>

#include "desk/imgui_painter.hpp"
#include "desk/scene.hpp"
#include "desk/texts.hpp"
#include "desk/view_state.hpp"
#include "figure/laid_out.hpp"

namespace cranknote::desk {

class Pictures {
  public:
    /// The engine's front in the state shown. Sizes in px.
    const figure::LaidOut& engine(const Scene& scene, const Texts& texts, const ViewState& view,
                                  const Look& look, figure::Size size);
    /// The comparison of the pair shown; the tab chooses what of it.
    const figure::LaidOut& sound(const Scene& scene, const ViewState& view, const Look& look,
                                 figure::Size size);

    /// The layout being edited, with the chosen part lit.
    const figure::LaidOut& draft(const ViewState& view, const Look& look, figure::Size size);

    /// How often a figure was laid out anew.
    [[nodiscard]] int laid_out() const { return made_; }

  private:
    struct Key {
        int scene = -1;
        double width = 0.0, height = 0.0, scale = 0.0;
        figure::Mode mode = figure::Mode::light;
        std::set<std::string> names, lit;
        SoundTab tab = SoundTab::change;
        bool over_hz = false;
        std::optional<std::pair<double, double>> range;
        bool operator==(const Key&) const = default;
    };
    struct Kept {
        Key key;
        figure::LaidOut laid;
    };
    Kept engine_, sound_, draft_;
    int made_ = 0;
};

/// What is lit in the drawing and in the figures: what the pointer is on, and what belongs to it.
struct Lit {
    std::set<std::string> parts, findings;
};
[[nodiscard]] Lit lit_of(const Scene& scene, const ViewState& view);

/// What is off in the state drawn, pulls written out, and what stands still by it.
struct Drawn {
    std::set<std::string> off, still;
};
[[nodiscard]] Drawn drawn_state(const Scene& scene, const ViewState& view);

/// Which recording is shown through time: the chosen one, else the first of the second state. Empty: none.
[[nodiscard]] std::string recording_shown(const Scene& scene, const ViewState& view);

}  // namespace cranknote::desk
