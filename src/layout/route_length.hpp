// How long a belt must be to run its route, from the places and sizes of what it runs on.
#pragma once

#include <optional>

#include "layout/layout.hpp"

namespace cranknote {

/// Length of a belt or chain along its cord: typed, printed, or teeth times pitch; absent if not known.
[[nodiscard]] std::optional<Millimetres> loop_length(const Drive& drive);

/// Length of the cord line round the route: outside tangents between pulleys that the same side of the belt
/// runs on, crossing ones to a pulley on its back. Absent unless the route names every part of the drive and
/// all have a place and a size (counted teeth with a pitch, or a measured diameter), or if two overlap.
[[nodiscard]] std::optional<Millimetres> route_length(const Layout& layout, const Drive& drive);

}  // namespace cranknote
