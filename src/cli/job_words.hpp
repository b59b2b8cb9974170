// A job's suspects in words.
#pragma once

#include <iosfwd>

#include "job/analysis.hpp"

namespace cranknote::cli {

/// Conclusion first, then each complaint through the states with its suspects, the repair, what next.
void print_suspects(std::ostream& out, const job::Analysis& analysis);

}  // namespace cranknote::cli
