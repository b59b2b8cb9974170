// One frame: arrange, draw every panel, gather what is asked for.
#pragma once

#include "desk/frame.hpp"

namespace cranknote::desk {

/// Draws the whole window into the library's current frame. Changes `view` where a person chose to see
/// something else; everything else is asked for in the result.
Commands draw(ViewState& view, const Scene& scene, const Texts& texts, const Busy& busy, const Live& live,
              const std::vector<Preset>& presets, const std::vector<std::string>& recent, Pictures& pictures,
              Ui& ui);

}  // namespace cranknote::desk
