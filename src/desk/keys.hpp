// Everything by keyboard. The list that `?` shows is the list that is acted on.
#pragma once

#include <span>

#include "desk/frame.hpp"

namespace cranknote::desk {

struct KeyText {
    const char* keys;
    const char* does;
};
[[nodiscard]] std::span<const KeyText> key_texts();

/// What the keys pressed in this frame ask for. Not while something is typed.
void act_on_keys(Frame& f);

}  // namespace cranknote::desk
