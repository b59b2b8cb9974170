// What the window says at its bottom.
#pragma once

#include <string>
#include <utility>

#include "desk/view_state.hpp"
#include "units/error.hpp"

namespace cranknote::desk {

inline void say(ViewState& view, std::string text, bool trouble = false) {
    view.said = std::move(text);
    view.said_is_trouble = trouble;
}

/// A trouble as a sentence: what, where, what to do.
[[nodiscard]] std::string sentence_of(const Error& e);

}  // namespace cranknote::desk
