// What is true of a simulated recording and of a case, and its JSON.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "speed/track.hpp"
#include "units/units.hpp"

namespace cranknote::simulate {

/// What is at fault, in the words of the contract: `kind` is a suspect's kind, `part` the layout's name (or
/// an engine name), absent for outside and other.
struct TrueCause {
    std::string kind;
    std::optional<std::string> part;
    std::vector<std::string> also;
    std::string words;  ///< "idler: outer race of the bearing"
};

/// One fault as it sounds in one recording.
struct TrueFault {
    TrueCause cause;
    Decibel level{0.0};  ///< energy at the microphone over the recording re the healthy engine's, in `band`
    std::pair<Hertz, Hertz> band;           ///< its -10 dB bandwidth there, at least a third octave
    double presence = 1.0;                  ///< share of the time in which it sounds
    std::string character;                  ///< tone | scrape | tick | hiss: the best word
    std::vector<std::string> character_or;  ///< words that a fair listener could use as well
    std::optional<Ratio> ratio;       ///< of its strongest tone per crank turn, true mean over the recording
    std::vector<Ratio> ratio_or;      ///< its further tones
    std::optional<Ratio> beat_ratio;  ///< how often per crank turn it swells or knocks
    std::vector<Ratio>
        beat_ratio_or;    ///< further lines of its envelope (multiples, the belt beside the wheel)
    std::string follows;  ///< crank | fixed | free | unknown
    std::string beat_follows;
};

/// One state, in the words of the command line.
struct TrueState {
    std::string name = "as found";
    std::vector<std::string> off;    ///< as the mechanic would type it: pulls, drives, parts, covers
    std::vector<std::string> still;  ///< parts and drives that stand still by it
    std::vector<std::string> with;   ///< checks: lock, ac-on, lamps-on, mist, clutch-down, ...
    bool repaired = false;
    std::string repaired_what;  ///< empty: not said
    bool cold = false;
};

/// What is true of one recording.
struct TakeTruth {
    SpeedTrack track;  ///< averaged over 720°, every 0.1 s; 0 where the engine does not turn
    Rpm mean;          ///< turns over time while it runs by itself
    Rpm low, high;     ///< of the track while it runs by itself
    std::pair<Seconds, Seconds> running;  ///< when it runs by itself; equal: never
    std::string course;   ///< idle | hunting | step | run-up | held | cold | start | shut-off | stall | off
    double wander = 0.0;  ///< rms of the track around its mean or its ramp, relative
    std::vector<std::pair<std::string, Ratio>>
        rates;                      ///< true turns per crank turn of parts and drives, creep included
    std::vector<TrueFault> faults;  ///< those that sound in this recording
    Seconds since_start{-1.0};      ///< engine start to the first sample; negative: long ago (warm)
    std::string phone;              ///< words: "low cut 180 Hz, gain control, aac 96k"
    std::optional<Hertz> low_cut;
    std::optional<Hertz> band_limit;      ///< by codec or sampling rate
    std::vector<std::string> background;  ///< speech, wind, clanks, compressor, hum, fan
    std::vector<std::string> quality;     ///< quality codes that ought to be raised; empty where none is sure
};

/// How the two sides of a pair relate.
enum class Relation {
    alone,        ///< no pair: one recording, or a job
    unchanged,    ///< one state twice
    healthy_off,  ///< something healthy was taken off, nothing else changed
    guilty_off,   ///< the guilty thing was taken off or set right: a telling pair
    changed       ///< a fault came or went, nothing else changed
};

/// What is true of a case as a whole.
struct CaseTruth {
    Relation relation = Relation::alone;
    bool same_placement = false;     ///< the phone lay untouched through all takes
    std::vector<TrueCause> guilty;   ///< over all takes; empty: a healthy engine
    std::optional<char> fault_side;  ///< pairs: 'a' or 'b', where the fault sounds
    double level_nominal = 0.0;      ///< dB that was asked for; each take has its own true level
};

[[nodiscard]] std::string name_of(Relation relation);

/// Mean crank speed between two moments from the truth (turns over time). Rpm{0} if `to` is not after `from`.
[[nodiscard]] Rpm mean_speed(const TakeTruth& truth, Seconds from, Seconds to);

}  // namespace cranknote::simulate
