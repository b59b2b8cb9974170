// The gain and the gentle colour of a moved microphone, found from what did not change.
#pragma once

#include <string>
#include <vector>

#include "portrait/portrait.hpp"
#include "units/units.hpp"

namespace cranknote {

/// B - A of what both share, as a straight line in dB over octaves around 1 kHz.
struct Alignment {
    Decibel offset{0.0};
    double slope_db_per_octave = 0.0;
    Decibel firing{0.0};  ///< the same difference on the firing lines alone, where they can be read
    bool has_firing = false;
    [[nodiscard]] double at(Hertz f) const;  ///< dB to take off B at a frequency
};

/// Median of third-octave differences (Huber, Robust Statistics) and, if the phone may have moved, a
/// Theil-Sen slope limited to ±1.5 dB per octave. Same placement: nothing is taken off. `cylinders` 0: firing
/// lines are not read.
[[nodiscard]] Alignment align(const std::vector<const Portrait*>& a, const std::vector<const Portrait*>& b,
                              Hertz low, Hertz high, bool same_placement);

}  // namespace cranknote
