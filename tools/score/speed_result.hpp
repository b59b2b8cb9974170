// How well crank speed is read: one result a recording, and what many results say together.
#pragma once

#include <ostream>
#include <string>
#include <vector>

#include "speed/from_sound.hpp"
#include "speed_takes.hpp"

namespace cranknote::score {

/// What was read from one recording beside what is true.
struct SpeedResult {
    std::string id, codec, phone, course;
    int cylinders = 4;
    double truth = 0.0;            ///< rpm, turns over time in the stretch that the reading stands on
    bool runs = true;              ///< the engine runs in the recording for two seconds at least
    std::optional<double> read;    ///< rpm; absent: cannot tell
    double low = 0.0, high = 0.0;  ///< the 95 % interval
    double confidence = 0.0;       ///< as stated
    double track_rms = 0.0;        ///< relative
    double wander = 0.0;           ///< rms, relative, true
    double milliseconds = 0.0;     ///< of reading
    double seconds = 0.0;          ///< of sound
    std::vector<SpeedAlternative> alternatives;

    [[nodiscard]] double error() const { return *read / truth - 1.0; }
    /// Off by more than three per cent, which no unsteadiness explains: another multiple, or nothing at all.
    [[nodiscard]] bool wrong() const { return read && std::abs(error()) > 0.03; }
};

[[nodiscard]] SpeedResult result_of(const SpeedTake& take, bool cylinders_known);

/// The value below which a share of q lies, 0 for none.
[[nodiscard]] double quantile(std::vector<double> values, double q);

/// The tables.
void report(std::ostream& out, const std::vector<SpeedResult>& results);

/// One line a recording, for a spreadsheet.
void write_csv(std::ostream& out, const std::vector<SpeedResult>& results);

}  // namespace cranknote::score
