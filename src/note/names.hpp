// The words of the JSON contract for every enumeration, in one place for JSON, text, note and window.
#pragma once

#include <string_view>

#include "diagnose/diagnose.hpp"
#include "portrait/finding.hpp"
#include "portrait/quality.hpp"
#include "speed/speed.hpp"

namespace cranknote {

[[nodiscard]] std::string_view name_of(Axis v);
[[nodiscard]] std::string_view name_of(Verdict v);  ///< `fresh` is "new", `cannot_tell` "cannot tell"
[[nodiscard]] std::string_view name_of(Character v);
[[nodiscard]] std::string_view name_of(Follows v);
[[nodiscard]] std::string_view name_of(QualityCode v);
[[nodiscard]] std::string_view name_of(Severity v);
[[nodiscard]] std::string_view name_of(SpeedSource v);
[[nodiscard]] std::string_view name_of(CauseKind v);
[[nodiscard]] std::string_view name_of(Conclusion v);

}  // namespace cranknote
