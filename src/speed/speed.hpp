// Crank speed: from sound alone, from an entered tag, or from a pickup channel. Table of contents of this
// folder.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "speed/track.hpp"
#include "units/units.hpp"

namespace cranknote {

enum class SpeedSource { sound, entered, pickup };

/// A crank speed that a person or an instrument gave: a dash gauge is ±40, a scan tool ±2.
struct SpeedTag {
    Rpm rpm;
    Rpm plus_minus{40.0};
};

/// Another crank speed that explains the sound as well, and how probable it is.
struct SpeedAlternative {
    Rpm rpm;
    double confidence = 0.0;
};

/// When the engine runs in a recording, in seconds from its first sample.
struct RunningStretch {
    std::pair<Seconds, Seconds> used;  ///< the longest stretch in which its speed can be followed
    std::optional<Seconds> starts;     ///< it is off at first and comes on here
    std::optional<Seconds> stops;      ///< it goes off here, and stays off
    double spread = 0.0;               ///< rms of the speed around its mean in `used`, relative
    double steepest = 0.0;             ///< largest change of the speed in a second there, relative
    bool no_engine = false;            ///< nothing in the sound repeats as an engine does
};

/// What is known of a recording's crank speed. `mean` is absent when it cannot be told.
struct SpeedReading {
    std::optional<Rpm> mean;       ///< mean over the used stretch
    std::pair<Rpm, Rpm> interval;  ///< 95 % interval of the mean
    RunningStretch running;        ///< `used` is the stretch that all of this is about
    Rpm low, high;                 ///< range over time (of the speed averaged over two turns)
    double confidence = 0.0;       ///< probability that the multiple is right, 0 to 1
    SpeedSource source = SpeedSource::sound;
    std::vector<SpeedAlternative> alternatives;  ///< most probable first, without the reading itself
    SpeedTrack track;
    std::vector<std::string> remarks;  ///< sentences: a tag that disagrees, what would settle a multiple
};

}  // namespace cranknote
