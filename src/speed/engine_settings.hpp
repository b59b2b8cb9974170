// What the layout's engine means for reading its speed.
#pragma once

#include "layout/layout.hpp"
#include "speed/from_sound.hpp"

namespace cranknote {

/// Cylinders, stroke, firing order, and whether the firings lie evenly in the cycle (within 1°).
[[nodiscard]] SpeedSettings speed_settings_of(const Engine& engine);

}  // namespace cranknote
