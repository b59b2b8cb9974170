// Every measured diameter to a pitch diameter: the one at which the belt's cord runs, which sets the speed.
//
// clang-format off
// | drive        | running on | measured  | pitch diameter | because                                                |
// | ------------ | ---------- | --------- | -------------- | ------------------------------------------------------ |
// | any          | any        | pitch     | as measured    |                                                        |
// | ribbed       | wheel      | effective | +4.0 ± 0.4 mm  | ISO 9981: 2 be, be = 2 mm for speed ratios             |
// | ribbed       | wheel      | outside   | +4.0 ± 1.0 mm  | common practice: rim at the effective diameter         |
// | ribbed       | back side  | outside   | +3.5 ± 1.0 mm  | common practice: cord 1.5 to 2 mm from the back        |
// | vee          | wheel      | effective | -2.5 ± 1.5 mm  | common practice: cord 0.5 to 2 mm under the rim        |
// | vee          | wheel      | outside   | -2.5 ± 2.5 mm  | common practice: the same, belt flush with rim or not  |
// | vee          | back side  | outside   | +5.0 ± 2.0 mm  | common practice: cord 1.5 to 3.5 mm from the back      |
// | flat         | wheel      | outside   | +2.5 ± 1.5 mm  | common practice: cord in the middle of 1 to 4 mm       |
// | flat         | back side  | outside   | +2.5 ± 1.5 mm  | common practice: cord in the middle of 1 to 4 mm       |
// | toothed      | wheel      | outside   | +1.4 ± 0.4 mm  | memory: ISO 5294, ISO 13050: pitch line over the tips  |
// | toothed      | back side  | outside   | +3.0 ± 1.0 mm  | common practice: cord 1 to 2 mm from the back          |
// | toothed      | smooth     | outside   | +6.5 ± 2.0 mm  | memory: ISO 5296, ISO 13050: tooth height, pitch line  |
// | chain        | wheel      | outside   | -5.0 ± 1.5 mm  | computed: tip circle of 8 and 9.525 mm chain wheels    |
// | silent chain | wheel      | outside   | +0.0 ± 1.5 mm  | common practice: tips near the pitch line              |
// | gear         | wheel      | outside   | -4.0 ± 2.0 mm  | computed: two modules of 1 to 3 mm                     |
// clang-format on
//
// "wheel" is the grooved, toothed or flat pulley made for the belt; "smooth" a plain rim on a toothed belt's
// toothed side. A drive without an effective diameter of its own takes it as outside. Counted teeth need no
// diameter. ± is a limit (95 %), taken together with what the measure itself may be off: `plus_minus_mm`, or
// 2 mm across and 3 mm round a pulley that is hard to reach. The test of this folder reads this very table.
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
