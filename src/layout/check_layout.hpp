// Contradictions in a layout that was read: things that cannot all be true. Internal to layout/.
#pragma once

#include "layout/toml_table.hpp"

namespace cranknote::layout_file {

/// Throws Error at the first contradiction, with line, column, key, what was expected and the nearest name.
/// Order: names, then what drives what, then counts and measures against each other, then safety.
void check_layout(const Layout& layout, const File& file);

/// Whether toml++ can be given this text: its size, and how deep its dotted keys go (each dot is a level of
/// tables, and thousands of levels would exhaust the stack). Throws Error.
void check_text(const File& file);

}  // namespace cranknote::layout_file
