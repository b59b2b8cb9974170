// Layouts from disk.
#pragma once

#include <optional>
#include <string>

#include "layout/layout.hpp"

namespace cranknote::cli {

/// A layout from a TOML file. Throws Error naming the file, or the line and key in it.
[[nodiscard]] Layout read_layout(const std::string& path);

/// The layout that two options stand for: a file, or the typical front end of an engine with that many
/// cylinders; absent if neither was given. Throws Error (wrong call) if both were.
[[nodiscard]] std::optional<Layout> layout_of(const std::string& layout_path, std::optional<int> cylinders);

}  // namespace cranknote::cli
