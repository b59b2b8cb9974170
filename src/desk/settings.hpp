// What the window remembers of a person between two days: light or dark, how large, jobs opened lately.
#pragma once

#include <string>
#include <vector>

#include "desk/frame.hpp"

namespace cranknote::desk {

struct Settings {
    figure::Mode mode = figure::Mode::light;
    double scale = 0.0;  ///< 0: as the desktop
    std::vector<std::string> recent;
};

/// "name value" a line; what is not understood is passed over.
[[nodiscard]] Settings settings_from(const std::string& text);
[[nodiscard]] std::string settings_text(const Settings& settings);
/// The newest first, each once, at most eight.
void remember(Settings& settings, const std::string& job);

/// $XDG_CONFIG_HOME/cranknote/desk, else ~/.config/cranknote/desk. Nothing throws: without a place to write,
/// nothing is remembered.
[[nodiscard]] Settings read_settings();
void write_settings(const Settings& settings);

/// Layouts to start from: share/cranknote/layouts or samples/layouts, above the folder of the program.
[[nodiscard]] std::vector<Preset> find_presets();

}  // namespace cranknote::desk
