// The questions of `cranknote import` on a terminal.
#pragma once

#include <iosfwd>
#include <vector>

#include "job/import.hpp"

namespace cranknote::cli {

/// Asks of every file that can be added which state it is of and, where that is not known, what is off; Enter
/// takes the suggestion, - leaves the file out. Then asks once whether to add. Changes the suggestions to
/// what was answered: `why_not` is empty for what is to be added. False: nothing is to be.
[[nodiscard]] bool ask_about(const job::Found& found, std::vector<job::Suggestion>& suggestions,
                             std::istream& in, std::ostream& out);

}  // namespace cranknote::cli
