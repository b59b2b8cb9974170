// Why a file could not be written, in plain words.
#pragma once

#include <string>

namespace cranknote {

/// Throws Error for an errno of writing `path`: no room, no right, no folder, ...
[[noreturn]] void refuse_write(const std::string& path, int why);

}  // namespace cranknote
