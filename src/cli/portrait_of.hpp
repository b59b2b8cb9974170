// One recording examined and its findings explained by a layout: what `portrait` and `batch` print.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "audio/decode.hpp"
#include "compare/comparison.hpp"
#include "layout/layout.hpp"
#include "speed/speed.hpp"

namespace cranknote::cli {

struct ExplainedPortrait {
    RecordingSummary recording;
    std::vector<Finding> findings;  ///< what stands out, tied to the layout
};

/// The layout says what the engine is; `tag` is the speed as entered. Throws as examine_file does.
[[nodiscard]] ExplainedPortrait portrait_of(const std::string& file, Stretch stretch, const Layout& layout,
                                            const std::optional<SpeedTag>& tag = {});

}  // namespace cranknote::cli
