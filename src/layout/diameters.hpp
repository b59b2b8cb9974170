// Every measured diameter to a pitch diameter: the one at which the belt's cord runs, which sets the speed.
//
// | drive   | running on          | measured  | pitch diameter      | because |
// | ------- | ------------------- | --------- | ------------------- | ------- |
// | any     | any                 | pitch     | as measured         | |
// | ribbed  | grooves             | effective | + 4.0 mm ± 0.4      | 2 be, be = 2 mm for PK belts (ISO 9981)
// | | ribbed  | grooves             | outside   | + 4.0 mm ± 1.0      | the rim lies at the effective
// diameter within 1 mm (common practice) | | ribbed  | back, or flat rim   | outside   | + 3.5 mm ± 1.0 |
// cord 1.5 to 2 mm from the back (common practice) | | vee     | groove              | effective | - 2.5 mm
// ± 1.5      | cord 0.5 to 2 mm under the rim (common practice) | | vee     | groove              | outside
// | - 2.5 mm ± 2.5      | the same, belt flush with the rim or not | | vee     | back                |
// outside   | + 5.0 mm ± 2.0      | cord 1.5 to 3.5 mm from the back (common practice) | | flat    | either
// side         | outside   | + 2.5 mm ± 1.5      | cord in the middle of 1 to 4 mm (common practice) | |
// toothed | teeth, not counted  | outside   | + 1.4 mm ± 0.4      | pitch line 0.69 mm over the tip, 9.525
// and 8 mm pitch (memory: ISO 5294, ISO 13050) | | toothed | back                | outside   | + 3.0 mm ± 1.0
// | cord 1 to 2 mm from the back (common practice) | | toothed | smooth, tooth side  | outside   | + 6.5 mm
// ± 2.0      | tooth height 1.9 to 3.4 mm and pitch line (memory: ISO 5296, ISO 13050) | | chain   | teeth,
// not counted  | outside   | - 5.0 mm ± 1.5      | pitch (0.6 + cot 180°/z) against pitch / sin 180°/z, 8
// and 9.525 mm (computed) | | silent chain | teeth, not counted | outside | + 0.0 mm ± 1.5   | tips lie near
// the pitch line (common practice) | | gear    | teeth, not counted  | outside   | - 4.0 mm ± 2.0      | two
// modules of 1 to 3 mm (computed) |
//
// Counted teeth need no diameter. ± is a limit (95 %), taken together with what the measure itself may be
// off: `plus_minus_mm`, or 2 mm across and 3 mm round a pulley that is hard to reach.
#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "layout/layout.hpp"

namespace cranknote {

/// What the belt or chain runs on.
enum class Running {
    wheel,
    back_side,
    smooth
};  ///< grooves or teeth | its back | a plain rim on its tooth side

/// One row of the table above.
struct PitchRule {
    DriveKind drive = DriveKind::ribbed;
    Running running = Running::wheel;
    DiameterKind measured = DiameterKind::outside;
    double add_mm = 0.0;    ///< pitch diameter minus measured diameter
    double limit_mm = 0.0;  ///< 95 % limit of add_mm
    std::string_view source;
};

/// The table above as data, for documents and tests. Rows for "pitch" are left out: nothing is added.
[[nodiscard]] std::span<const PitchRule> pitch_rules();

/// A diameter or length with the standard error of its logarithm (about its relative standard error).
struct UncertainLength {
    Millimetres value;
    double relative_error = 0.0;
};

/// A range, taken as 95 % limits, as a value and its error. 0 < low <= high.
[[nodiscard]] UncertainLength length_between(Millimetres low, Millimetres high);

inline constexpr double default_across_mm = 2.0;  ///< a rule or caliper over a pulley in its place; as limit
inline constexpr double default_around_mm = 3.0;  ///< a tape round it; as limit

/// How this part meets a drive of this kind: tensioners and idlers without teeth run smooth on toothed
/// drives.
[[nodiscard]] Running running_of(const Part& part, DriveKind drive);

/// Pitch diameter of a part on a drive of this kind, from its measure; absent where nothing was measured.
[[nodiscard]] std::optional<UncertainLength> measured_pitch_diameter(const Part& part, DriveKind drive);

/// The same, from the usual range of its kind where nothing was measured; absent for kinds without one.
/// Ranges: common practice for passenger cars.
[[nodiscard]] std::optional<UncertainLength> pitch_diameter(const Part& part, DriveKind drive);

/// The usual outside diameter of a kind of part, as 95 % limits.
[[nodiscard]] std::optional<std::pair<Millimetres, Millimetres>> usual_diameter(PartKind kind);
/// The usual turns per crank turn of a kind of part, as 95 % limits.
[[nodiscard]] std::optional<std::pair<Ratio, Ratio>> usual_ratio(PartKind kind);

}  // namespace cranknote
