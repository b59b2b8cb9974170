// What is below the pointer in the figure of sounds, in words and both units.
#pragma once

#include <string>

#include "desk/scene.hpp"
#include "desk/view_state.hpp"
#include "figure/laid_out.hpp"

namespace cranknote::desk {

/// "6.31× is 82 Hz at 780 rpm: -4.2 dB (-6 to -2 dB)" in the change; "0.33×, 2.2 s between" in the swelling;
/// "12.3 s, 6.31× is 82 Hz at 780 rpm: -52 dB" through time. Empty outside the plots.
[[nodiscard]] std::string reading_at(const Scene& scene, const ViewState& view, const figure::LaidOut& laid,
                                     figure::Point at);

}  // namespace cranknote::desk
