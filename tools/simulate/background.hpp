// What else is heard in a workshop.
#pragma once

#include <string>
#include <vector>

#include "simulate/sounds.hpp"

namespace cranknote::simulate {

/// One other sound: speech, wind, clanks, compressor, hum, fan, engine (another one, some way off).
struct Disturbance {
    std::string kind;
    double level_db = -20.0;  ///< mean power re the engine's at the microphone
};
/// Which ones a recording has; `share` of recordings have any.
[[nodiscard]] std::vector<Disturbance> draw_disturbances(double share, Dice& dice);

/// The sound, unit mean power over the recording. Unknown kinds are silent. `dice` draws what belongs to the
/// machine (its pitch), `live` what differs from recording to recording.
[[nodiscard]] Wave disturbance(const std::string& kind, std::size_t samples, double rate, Dice dice,
                               Dice live);

}  // namespace cranknote::simulate
