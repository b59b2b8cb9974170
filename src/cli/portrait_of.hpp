// One recording examined and its findings explained by a layout: what `portrait` and `batch` print.
#pragma once

#include <string>
#include <vector>

#include "audio/decode.hpp"
#include "compare/comparison.hpp"
#include "layout/layout.hpp"
#include "speed/from_sound.hpp"

namespace cranknote::cli {

struct ExplainedPortrait {
    RecordingSummary recording;
    std::vector<Finding> findings;  ///< what stands out, tied to the layout
};

/// Cylinders and stroke of `settings` are the layout's. Throws as examine_file does.
[[nodiscard]] ExplainedPortrait portrait_of(const std::string& file, Stretch stretch, const Layout& layout,
                                            SpeedSettings settings);

}  // namespace cranknote::cli
