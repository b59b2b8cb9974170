// A stretch of a sound file to speed, portrait and usability, in one call.
#pragma once

#include <optional>
#include <stop_token>
#include <string>

#include "audio/decode.hpp"
#include "compare/examine.hpp"

namespace cranknote {

/// No more than this of a recording is analysed: spectra gain little from more, memory stays bounded.
inline constexpr Seconds longest_analysed{60.0};

/// Where a pickup's pulses are: another channel of the sound's own file, or a file of its own.
struct PickupChoice {
    std::optional<int> channel;  ///< from 0
    std::string file;            ///< used where no channel is given
    PickupSettings how;
};

/// Reads the stretch (its `longest` is at most longest_analysed) and examines its loudest channel; with a
/// pickup channel the loudest of the others, and then throws Error (wrong call) where the file has no such
/// channel or no other. Throws as read_stretch does.
[[nodiscard]] Examined examine_file(const std::string& path, Stretch stretch, const SpeedSettings& settings,
                                    std::stop_token stop = {},
                                    const std::optional<PickupChoice>& pickup = std::nullopt);

}  // namespace cranknote
