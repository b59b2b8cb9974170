// What the size printed on a belt says.
#pragma once

#include <optional>
#include <string_view>

#include "layout/layout.hpp"

namespace cranknote {

/// A belt's printed size, read.
struct BeltSize {
    DriveKind kind = DriveKind::ribbed;
    std::optional<int> ribs;            ///< of a ribbed belt
    std::optional<int> teeth;           ///< of a toothed belt
    std::optional<Millimetres> pitch;   ///< of a toothed belt
    std::optional<Millimetres> length;  ///< length of the cord line (what divides the travel per crank turn)
};

/// Reads "5PK1025" (ribs, profile, effective length: ISO 9981), "10x1025" or "AVX10x1025" (narrow vee: width,
/// outside length), "113ZA19" and "134YU25" (teeth, type, width; Z types 9.525 mm, Y types 8 mm pitch;
/// memory: ISO 9010, ISO 12046), "1072-8M" (length, pitch: ISO 13050). Spaces and case do not matter. Absent
/// if it is none of these.
[[nodiscard]] std::optional<BeltSize> read_belt_size(std::string_view printed);

/// Cord line outside the effective line of a PK belt, for speed ratios (ISO 9981: be = 2 mm).
inline constexpr double pk_cord_offset_mm = 2.0;

}  // namespace cranknote
