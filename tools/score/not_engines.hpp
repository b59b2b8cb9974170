// Sounds that are no engine: what a reading of crank speed must refuse.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace cranknote::score {

/// noise | rumble | tone | music | voice | clicks | hum; 10 s at 16 kHz. The same for the same seed.
[[nodiscard]] const std::vector<std::string>& kinds_of_other_sound();
inline constexpr double other_sound_rate = 16000.0;
[[nodiscard]] std::vector<float> other_sound(const std::string& kind, std::uint64_t seed);

}  // namespace cranknote::score
