// How fast every shaft turns: the steps behind turns_of, for the other files of layout/.
#pragma once

#include <optional>
#include <string>

#include "layout/diameters.hpp"
#include "layout/kinematics.hpp"

namespace cranknote {

/// Product and quotient of ratios with independent errors.
[[nodiscard]] UncertainRatio times(const UncertainRatio& a, const UncertainRatio& b);
[[nodiscard]] UncertainRatio over(const UncertainRatio& a, const UncertainRatio& b);
[[nodiscard]] UncertainRatio scaled(UncertainRatio r, double factor);
/// `r` with a further relative standard error.
[[nodiscard]] UncertainRatio widened(UncertainRatio r, double relative_error);
/// A range, taken as 95 % limits.
[[nodiscard]] UncertainRatio ratio_between(double low, double high);

[[nodiscard]] bool is_friction(DriveKind kind);  ///< ribbed, vee and flat belts: they creep
[[nodiscard]] bool is_toothed(DriveKind kind);   ///< toothed belts, chains and gears: they do not

/// Friction belts run 0 to 2 % slow (memory: Gerbert, Traction Belt Mechanics).
inline constexpr double belt_creep = 0.02;

/// The shaft behind a pulley: a viscous hub slips by 0 to 80 % (30 to 80 % cold at idle: common practice), a
/// free-wheeling pulley lets the rotor run a little ahead of the mean (1 %, common practice).
[[nodiscard]] UncertainRatio shaft_behind(const Part& part, const UncertainRatio& pulley);

/// A part's turns and how they were found.
struct Turns {
    UncertainRatio ratio;
    std::string source;  ///< in a few words
};
[[nodiscard]] std::optional<Turns> find_turns(const Layout& layout, const Part& part);

/// Teeth (or links) that pass per crank turn on a toothed drive.
struct Mesh {
    UncertainRatio ratio;
    std::optional<UnknownCount> count;  ///< where the teeth of the crank sprocket are not known
};
[[nodiscard]] std::optional<Mesh> mesh_of(const Layout& layout, const Drive& drive);

/// Turns of a loop per crank turn; `count` where the sprocket's teeth are unknown but the belt's are known.
[[nodiscard]] std::optional<Mesh> loop_turns(const Layout& layout, const Drive& drive);

/// Typed or counted turns per crank turn, with the error that the typing leaves; absent if neither was typed.
[[nodiscard]] std::optional<UncertainRatio> typed_turns(const Part& part);

}  // namespace cranknote
