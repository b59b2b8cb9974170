// What an entered speed is worth, and whether it agrees.
#pragma once

#include <optional>
#include <string>

#include "speed/speed.hpp"

namespace cranknote {

/// A reading that stands on an entered tag alone: constant speed, the tag's own interval.
[[nodiscard]] SpeedReading speed_from_tag(const SpeedTag& tag, Seconds duration);

/// "Tag 820 ± 5, sound says 797: 2.8 % apart.", where reading and tag disagree beyond what both are sure to.
/// `says` is "sound says" or "pickup says". Absent: they agree, or there is no mean.
[[nodiscard]] std::optional<std::string> tag_disagrees(const SpeedTag& tag, const SpeedReading& reading,
                                                       const std::string& says);

namespace speed_detail {
/// 812.4 -> "812"
[[nodiscard]] std::string rounded(Rpm n);
/// How far two speeds lie apart: "2.8 % apart"; point as decimal sign in every locale.
[[nodiscard]] std::string percent_apart(Rpm a, Rpm b);
}  // namespace speed_detail

}  // namespace cranknote
