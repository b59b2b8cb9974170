// A stretch of a sound file to speed, portrait and usability, in one call.
#pragma once

#include <stop_token>
#include <string>

#include "audio/decode.hpp"
#include "compare/examine.hpp"

namespace cranknote {

/// No more than this of a recording is analysed: spectra gain little from more, memory stays bounded.
inline constexpr Seconds longest_analysed{60.0};

/// Reads the stretch (its `longest` is at most longest_analysed) and examines its loudest channel. Throws as
/// read_stretch does.
[[nodiscard]] Examined examine_file(const std::string& path, Stretch stretch, const SpeedSettings& settings,
                                    std::stop_token stop = {});

}  // namespace cranknote
