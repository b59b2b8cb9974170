// Shell commands for tests of sound files.
#pragma once

#include <cstdlib>
#include <string>

namespace cranknote::test {

/// Runs a shell command quietly; true when it succeeded.
inline bool runs(const std::string& command) {
    return std::system(("(" + command + ") >/dev/null 2>&1").c_str()) == 0;
}

}  // namespace cranknote::test
