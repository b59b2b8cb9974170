// Numbers and lists as they are written in this room's sentences. Nothing depends on the locale.
#pragma once

#include <string>
#include <vector>

#include "units/units.hpp"

namespace cranknote::wording {

/// "2.84" with two decimals.
[[nodiscard]] std::string fixed_text(double value, int decimals);
/// "2.84×": a ratio as it is written everywhere.
[[nodiscard]] std::string written(Ratio ratio);
/// "93 %"
[[nodiscard]] std::string percent_text(double probability);
/// "4.2 kHz", "350 Hz"
[[nodiscard]] std::string hertz_text(Hertz f);
/// "a", "a and b", "a, b and c"
[[nodiscard]] std::string joined(const std::vector<std::string>& names);

}  // namespace cranknote::wording
