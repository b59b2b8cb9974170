// Where everything stands, written to a file at every frame: tests read it and point there.
#pragma once

#include <string>

#include "desk/ui.hpp"

namespace cranknote::desk {

/// How the window stands beside its places.
struct Standing {
    long frame = 0;     ///< counts the frames
    bool busy = false;  ///< something works behind
    std::string said;   ///< at the bottom
    std::string lit;    ///< the part that pointer or keys are on
};

/// "X0 Y0 X1 Y1 NAME" a line, in px; "cut TEXT" for texts without room; before them "frame N", "busy" or
/// "idle", "said TEXT" and "lit PART". Replaced at once, so that a reader never sees half of it.
void write_places(const std::string& file, const Places& places, const Standing& standing);

}  // namespace cranknote::desk
