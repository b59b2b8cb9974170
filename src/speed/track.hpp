// Crank speed through time, and the crank angle that follows from it.
#pragma once

#include <vector>

#include "units/units.hpp"

namespace cranknote {

/// Crank speed at rising moments of a recording (seconds from the first sample of the Recording).
/// Between the moments it is linear, outside it keeps the nearest value. Empty: no speed is known.
struct SpeedTrack {
    std::vector<Seconds> at;
    std::vector<Rpm> rpm;

    [[nodiscard]] bool empty() const { return at.empty(); }
    [[nodiscard]] Rpm speed_at(Seconds t) const;  ///< Rpm{0} for an empty track
    [[nodiscard]] double turns_at(
        Seconds t) const;  ///< crank turns since t = 0 (exact integral of the lines)
    [[nodiscard]] double turns_between(Seconds from, Seconds to) const;
    [[nodiscard]] SpeedTrack scaled(double factor) const;  ///< the same course at another multiple
};

}  // namespace cranknote
