// Which part of the window lies where. Pure: sizes in, boxes out.
#pragma once

#include "desk/view_state.hpp"
#include "figure/geometry.hpp"

namespace cranknote::desk {

/// Boxes in px. An empty one (width 0) is not seen.
struct Arrangement {
    enum class Kind {
        whole,   ///< all four at once
        shared,  ///< engine and sound share the middle
        single   ///< one of four at a time
    } kind = Kind::whole;
    figure::Box head, day, engine, sound, answers, foot;
};

/// At scale 1 all four stand side by side from 1360 × 780 on; below 880 wide one at a time.
[[nodiscard]] Arrangement arrange(figure::Size window, double scale, const ViewState& view);

}  // namespace cranknote::desk
