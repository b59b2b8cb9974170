// What stands out in a recording, or changed between two states. Field by field as the JSON contract has it.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "units/units.hpp"

namespace cranknote {

enum class Axis { hz, ratio };                                             ///< where it is sharper
enum class Verdict { gone, weaker, there, stronger, fresh, cannot_tell };  ///< `fresh` is written "new"
enum class Character { tone, scrape, tick, hiss };
enum class Follows { crank, fixed, free, unknown };

/// One line of the layout that may explain a finding (filled by diagnose/, empty before).
struct Explanation {
    std::string cause;  ///< "timing belt whines"
    std::string part;   ///< the layout's name
    std::string line;   ///< which of its lines: "tooth mesh, 2nd"
    Ratio expected_ratio;
    double tolerance = 0.0;  ///< 95 % half-width, relative (0.02 = 2 %)
    double fit = 0.0;        ///< 0 (outside) to 1 (in the middle)
};

struct Finding {
    std::string id;  ///< "f1": unique within one result, in order of weight
    Axis axis = Axis::hz;
    Hertz low, high;  ///< where it was heard (at the A side's mean speed, or B's if new)
    std::optional<Ratio>
        ratio;  ///< of a tone that is tied to crank speed, or its ratio at this speed if it may be
    std::optional<Ratio> beat_ratio;  ///< how often per crank turn it swells or knocks
    double ratio_error = 0.0;         ///< standard error of `ratio`, relative
    double beat_error = 0.0;          ///< standard error of `beat_ratio`, relative
    std::optional<Decibel> a, b;      ///< levels re full scale; absent: not known
    std::optional<Decibel> change;    ///< b - a after alignment; negative: quieter
    std::pair<std::optional<Decibel>, std::optional<Decibel>> interval;  ///< 95 % interval of `change`
    double q = 1.0;  ///< false-discovery rate at which it would be flagged
    bool flagged = false;
    Verdict verdict = Verdict::cannot_tell;
    std::optional<std::string> expected;       ///< why this change is no complaint
    std::array<double, 2> presence{1.0, 1.0};  ///< share of the time it is there, A and B
    Character character = Character::hiss;
    Follows follows = Follows::unknown;
    Follows beat_follows = Follows::unknown;
    double prominence = 0.0;    ///< how far it stands out in the louder side, dB (tone, band or beat alike)
    double beat_depth = 0.0;    ///< of the strongest beat line: 0 steady, 1 swells fully
    bool beat_changed = false;  ///< it is the beat itself that changed, not only the band's level
    double beat_lines = 0.0;    ///< over how many multiples its swelling spreads: 1 a swell, many a knock
    double band_change = 0.0;   ///< dB, aligned change of the third octave (or wider) around it
    std::vector<Ratio> family;  ///< further ratios (harmonics, sidebands) that move with it
    std::vector<Ratio> beat_family;  ///< further beat ratios that move with it
    std::vector<Explanation> explained_by;
};

}  // namespace cranknote
