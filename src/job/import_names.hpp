// What a file's name says about the state it was recorded in.
#pragma once

#include <string>

#include "job/edit.hpp"
#include "layout/layout.hpp"

namespace cranknote::job {

/// A person's words, not a phone's counter: "fan off", not "REC0012" or "20260301_103000".
[[nodiscard]] bool is_telling(const std::string& stem);

/// "fan off, cold (2)" -> state "fan off", off "fan", coolant cold. `layout` may be absent: then nothing is
/// known to be off. `off_known` becomes false where the words say that something was off and no name in it is
/// known.
struct Told {
    Addition addition;
    bool off_known = true;
};
[[nodiscard]] Told told_by(const std::string& stem, const Layout* layout);

}  // namespace cranknote::job
