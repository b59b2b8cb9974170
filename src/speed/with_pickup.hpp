// Sound and pickup together: whose numbers count for what.
#pragma once

#include <span>

#include "speed/from_sound.hpp"
#include "speed/pickup.hpp"

namespace cranknote {

/// Both from one recorder, sample by sample. Speed, track and moments are the pulses'; the sound is read too,
/// as a check, to settle how many pulses there are to a turn where that was not said, and for how alike the
/// cylinders fire. Without pulses: what the sound alone says, with a remark.
[[nodiscard]] SpeedReading speed_with_pickup(std::span<const float> sound, std::span<const float> pickup,
                                             SampleRate rate, const SpeedSettings& settings,
                                             PickupSettings how);

/// The pickup's from a recorder of its own. Two recorders drift, and nobody knows by how much the one was
/// switched on later: the pulses settle the multiple as a tag does, moments stay the sound's. Where the
/// sound cannot be read, the pulses' mean stands without a course.
[[nodiscard]] SpeedReading speed_with_pickup_apart(std::span<const float> sound, SampleRate rate,
                                                   std::span<const float> pickup, SampleRate pickup_rate,
                                                   const SpeedSettings& settings, PickupSettings how);

}  // namespace cranknote
