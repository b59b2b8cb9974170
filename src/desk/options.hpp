// What the window was called with, and how it then stands.
#pragma once

#include <optional>
#include <string>
#include <utility>

#include "desk/scene.hpp"
#include "desk/view_state.hpp"

namespace CLI {
class App;
}

namespace cranknote::desk {

struct Options {
    std::string job, shot, size = "1600x1000", places, over, page, part, finding, tab;
    double scale = 0.0;
    bool dark = false, light = false, hz = false, measure = false;
    std::optional<int> a, b;
};

/// Declares every option; `options` must live as long as the parsing.
void declare(CLI::App& app, Options& options);

/// Width and height of "1600x1000". Throws Error.
[[nodiscard]] std::pair<int, int> size_of(const std::string& text);

/// Panels, tabs and states as asked for. Throws Error for words that name none.
void stand_as_asked(const Options& options, ViewState& view, const Scene& scene);

}  // namespace cranknote::desk
