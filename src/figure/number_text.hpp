// Numbers as people read them: a real minus sign and ×, a fixed number of decimals, the unit always beside,
// kept together by a no-break space. The same on every machine, whatever its locale.
#pragma once

#include <string>
#include <utility>

#include "units/units.hpp"

namespace cranknote {

/// What stands for a number that is not known (an en dash), never "0".
inline constexpr const char* not_known = "\u2013";

/// "−3.1"; not_known for NaN and infinities. A result that rounds to zero carries no sign.
[[nodiscard]] std::string number_text(double value, int decimals);
/// "+3.1", "−3.1", "0.0".
[[nodiscard]] std::string signed_text(double value, int decimals);
/// As few digits as say it: "0.5", "20", "1000". At most `digits` significant ones.
[[nodiscard]] std::string short_number_text(double value, int digits = 6);

/// "2.84×", "20.0×", "240×".
[[nodiscard]] std::string ratio_text(Ratio ratio);
/// "312 Hz", "2.10 kHz".
[[nodiscard]] std::string hertz_text(Hertz f);
/// "210–480 Hz", "0.90–2.10 kHz".
[[nodiscard]] std::string hertz_text(std::pair<Hertz, Hertz> band);
/// "812 rpm".
[[nodiscard]] std::string rpm_text(Rpm n);
/// "−42.1 dB" (a level), "+3.0 dB" (a change).
[[nodiscard]] std::string level_text(Decibel level);
[[nodiscard]] std::string change_text(Decibel change);
/// "71 %"; "under 1 %" and "over 99 %" at the ends, since no probability here is exactly 0 or 1.
[[nodiscard]] std::string probability_text(double probability);
/// "12.3 s", "2 min 05 s".
[[nodiscard]] std::string seconds_text(Seconds t);

}  // namespace cranknote
