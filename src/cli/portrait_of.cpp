#include "cli/portrait_of.hpp"

#include "compare/compare.hpp"
#include "diagnose/pair.hpp"
#include "job/examine_file.hpp"
#include "speed/engine_settings.hpp"

namespace cranknote::cli {

ExplainedPortrait portrait_of(const std::string& file, Stretch stretch, const Layout& layout,
                              const std::optional<SpeedTag>& tag) {
    auto settings = speed_settings_of(layout.engine);
    settings.tag = tag;
    stretch.longest = longest_analysed;
    const auto e = examine_file(file, stretch, settings);
    CompareSettings how;
    how.cylinders = layout.engine.cylinders;
    Comparison alone;
    alone.findings = standing_out({&e.portrait, e.summary}, how);
    State as_found;
    as_found.name = "as found";
    return {e.summary, suspects_of_pair(layout, alone, as_found, as_found).findings};
}

}  // namespace cranknote::cli
