// How alike the cylinders fire.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "speed/coarse.hpp"
#include "speed/evidence.hpp"
#include "speed/pickup.hpp"
#include "speed/speed.hpp"

namespace cranknote {

/// From sound alone: cylinders that all sound alike leave only multiples of the firing frequency; what they
/// differ by stands on the cycle's other multiples (half orders of a four-stroke). Below 0.3 kHz, where an
/// engine is small against the wavelength, the power of those lines re the firing lines around them gives
/// the cylinders' standard deviation over their mean; the interval is from how the stretches between firing
/// lines disagree. Cylinders also differ by their way to the microphone and by what else turns with the cam,
/// so a sound engine is not quite 0. `course` is of the cycle itself, from the evidence's beginning. Cannot
/// tell (and says why) where a phone's low cut or noise leaves too few of these lines, for one cylinder, and
/// where the engine fires unevenly by design.
[[nodiscard]] Evenness evenness_of_sound(const speed_detail::Stream& bass, const speed_detail::Course& course,
                                         std::optional<int> cylinders, bool fires_evenly);

/// With a pickup on the same recorder: the sound above 500 Hz of each firing, cycle by cycle, from the pulse
/// on. The interval of a cylinder is from how its cycles differ. `numbers`: which cylinders, in firing order
/// from the pulse on; empty where that is not known.
[[nodiscard]] Evenness evenness_by_cylinder(std::span<const float> sound, SampleRate rate,
                                            const PickupReading& pickup, int cylinders,
                                            std::vector<int> numbers = {});

/// Level of each cylinder re their mean, in firing order from the pulse on, with a 95 % interval. Empty below
/// four cycles.
[[nodiscard]] std::vector<CylinderLevel> cylinder_levels(std::span<const float> sound, SampleRate rate,
                                                         const PickupReading& pickup, int cylinders);

}  // namespace cranknote
