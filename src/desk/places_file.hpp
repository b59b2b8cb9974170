// Where everything stands, written to a file at every frame: tests read it and point there.
#pragma once

#include <string>

#include "desk/ui.hpp"

namespace cranknote::desk {

/// Counts of input that frames have seen: a test knows by them that what it did has arrived.
struct Heed {
    float x = 0.0f, y = 0.0f;  ///< the pointer, px
    long keys = 0, characters = 0, buttons = 0, wheel = 0;
    bool operator==(const Heed&) const = default;
};

/// How the window stands beside its places.
struct Standing {
    long frame = 0;       ///< counts the frames
    bool busy = false;    ///< something works behind, or further frames are due
    Heed heed;            ///< what of mouse and keyboard came to a frame so far
    std::string said;     ///< at the bottom
    std::string lit;      ///< the part that pointer or keys are on
    std::string reading;  ///< what the pointer is on in the figure of sounds
};

/// "X0 Y0 X1 Y1 NAME" a line, in px; "cut TEXT" for texts without room; before them "frame N", "busy" or
/// "idle", "pointer X Y", "keys N", "characters N", "buttons N" (let go) and "wheel N", "said TEXT",
/// "lit PART" and "reading TEXT". Replaced at once, so that a reader never sees half of it.
void write_places(const std::string& file, const Places& places, const Standing& standing);

}  // namespace cranknote::desk
