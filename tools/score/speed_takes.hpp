// Recordings with known speed: of the simulator, or of a folder of files.
#pragma once

#include <string>
#include <vector>

#include "simulate/simulate.hpp"

namespace cranknote::score {

/// One recording, as far as speed goes.
struct SpeedTake {
    std::string id;
    int cylinders = 4, stroke = 4;
    std::string codec;
    SampleRate rate;
    std::vector<float> sound;
    simulate::TakeTruth truth;
};

/// Makes one case's first take; with a folder `keep` it is read from there if it was made before (an hour's
/// work on the reader makes the same cases many times).
[[nodiscard]] SpeedTake make_speed_take(simulate::Set set, simulate::Purpose purpose, int index,
                                        const std::string& keep);

/// NNN.wav beside NNN.json {"rpm": mean, "cylinders": n}, as other_origin.py writes them.
[[nodiscard]] std::vector<std::string> wav_files_in(const std::string& folder);
[[nodiscard]] SpeedTake read_speed_take(const std::string& wav);

}  // namespace cranknote::score
