// Which texts of a figure have no room where it was laid out: for tests. Pure.
#pragma once

#include <string>
#include <vector>

#include "figure/laid_out.hpp"

namespace cranknote::desk {

/// Texts that reach beyond the figure, lie over another text, or end in an ellipsis. One sentence each.
[[nodiscard]] std::vector<std::string> crowded(const figure::LaidOut& laid);

}  // namespace cranknote::desk
