// How still the crank speed is, and whether it hunts.
#pragma once

#include <optional>

#include "speed/speed.hpp"

namespace cranknote {

/// From the track over the used stretch, averaged over 0.3 s, its straight course (a cold idle's fall) taken
/// off. The interval of the spread counts how few independent values a slow wander gives (Bartlett 1946:
/// chi-square with n / sum of squared autocorrelations). Hunting is a swing of one period (three of them at
/// least) that explains most of the wander and is the same in both halves. Absent without a track or below
/// 3 s.
[[nodiscard]] std::optional<Steadiness> steadiness_of(const SpeedReading& reading);

}  // namespace cranknote
