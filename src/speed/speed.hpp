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
    std::optional<int> cylinders = std::nullopt;  ///< with which it would be right; absent: as said
};

/// When the engine runs in a recording, in seconds from its first sample.
struct RunningStretch {
    std::pair<Seconds, Seconds> used;  ///< the longest stretch in which its speed can be followed
    std::optional<Seconds> starts;     ///< it is off at first and comes on here
    std::optional<Seconds> stops;      ///< it goes off here, and stays off
    double spread = 0.0;               ///< rms of the speed around its mean in `used`, relative
    double steepest = 0.0;             ///< largest change of the speed in a second there, relative
    bool no_engine = false;            ///< nothing in the sound repeats as an engine does
    /// The starter turns the engine at `cranking_speed`, and nothing fires; absent: not heard.
    std::optional<std::pair<Seconds, Seconds>> cranking = std::nullopt;
    Rpm cranking_speed{0};
};

/// A slow, regular swing of an idle.
struct Hunting {
    Seconds period;
    std::pair<Seconds, Seconds> interval;  ///< 95 % interval of the period
    double swing = 0.0;                    ///< how far it goes either way, relative to the mean
};

/// How still the speed is.
struct Steadiness {
    double spread = 0.0;                 ///< rms around its mean, relative
    std::pair<double, double> interval;  ///< 95 % interval of `spread`, as a property of the engine
    std::optional<Hunting> hunting;
    std::string text;  ///< the same in a sentence
};

/// How loud one cylinder's firing is re their mean, with a 95 % interval.
struct CylinderLevel {
    Decibel level{0};
    Decibel plus_minus{0};
};

/// How alike the cylinders fire.
struct Evenness {
    /// Standard deviation of the cylinders' strength over its mean; 0: all alike. Absent: cannot tell.
    std::optional<double> unlike;
    std::pair<double, double> interval;     ///< 95 % interval of `unlike`
    SpeedSource from = SpeedSource::sound;  ///< half-order lines of the sound, or cylinder by cylinder
    std::vector<CylinderLevel> cylinders;   ///< with a pickup: in firing order from the pulse on
    std::vector<int> numbers;               ///< which cylinder each of them is; empty: not known
    std::string text;                       ///< the same in a sentence, or why it cannot be told
};

/// What is known of a recording's crank speed. `mean` is absent when it cannot be told.
struct SpeedReading {
    std::optional<Rpm> mean;       ///< mean over the used stretch
    std::pair<Rpm, Rpm> interval;  ///< 95 % interval of the mean
    RunningStretch running;        ///< `used` is the stretch that all of this is about
    Rpm low, high;                 ///< range over time (of the speed averaged over two turns)
    double confidence = 0.0;       ///< probability that the multiple is right, 0 to 1
    /// What settled the speed among its multiples: the sound alone, an entered tag, a pickup.
    SpeedSource source = SpeedSource::sound;
    /// Whose numbers `mean`, `interval` and `track` are: an entered tag mostly settles only which multiple
    /// the sound's own, far more exact reading is.
    SpeedSource mean_from = SpeedSource::sound;
    std::optional<SpeedTag> tag;   ///< what was entered, agreeing or not
    std::optional<int> cylinders;  ///< with how many this is the reading: as said, or the most probable
    bool cylinders_said = false;
    std::vector<SpeedAlternative> alternatives;  ///< most probable first, without the reading itself
    SpeedTrack track;
    std::optional<Steadiness> steadiness;
    std::optional<Evenness> evenness;
    std::vector<std::string> remarks;  ///< sentences: a tag that disagrees, what would settle a multiple
};

}  // namespace cranknote
