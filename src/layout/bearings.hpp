// Rolling bearings: geometry by printed number, and what a defect makes heard per turn.
//
// Formulas: Randall & Antoni, "Rolling element bearing diagnostics - a tutorial", MSSP 25 (2011); for a
// turning outer ring the same with the relative speed, the cage carried along by the outer ring.
#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "layout/layout.hpp"

namespace cranknote {

enum class TurningRing { inner, outer };

/// Events per turn of the turning ring.
struct BearingRatios {
    double outer = 0.0;  ///< balls over a spot on the outer ring
    double inner = 0.0;  ///< balls over a spot on the inner ring
    double cage = 0.0;   ///< cage turns
    double ball = 0.0;   ///< a spot on a ball strikes both rings: twice its spin
};
[[nodiscard]] BearingRatios bearing_ratios(const BearingGeometry& geometry, TurningRing turning);

/// One row of the table of common deep-groove ball bearings.
struct NumberedBearing {
    int number = 0;
    BearingGeometry geometry;
    std::string_view source;
};
/// 6000, 6200 and 6300 series, the sizes found on engines; left out where the recalled ball does not fit the
/// rings.
[[nodiscard]] std::span<const NumberedBearing> numbered_bearings();

/// Geometry by the number printed on it, seals and clearance after the number ignored ("6203-2RS C3").
/// Absent if the number is not in the table.
[[nodiscard]] std::optional<BearingGeometry> bearing_by_number(std::string_view printed);

/// Slip moves real defect lines 1 to 2 % off the kinematic ones (Randall & Antoni 2011); as standard error.
inline constexpr double bearing_slip = 0.01;

}  // namespace cranknote
