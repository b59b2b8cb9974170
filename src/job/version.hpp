// Which program this is.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace cranknote {

/// "0.1.0"
[[nodiscard]] std::string program_version();

/// Which build of the computing part this is: 64 hex digits. Results of another are not the same results.
[[nodiscard]] std::string core_build();

/// The libraries that it runs with: name and version, in order of the name.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> library_versions();

}  // namespace cranknote
