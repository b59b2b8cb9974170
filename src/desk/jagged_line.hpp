// Lines with sharp turns, such as spectra. The library joins the pieces of a line by the mean of their
// normals, which for a turn of nearly half a circle is no direction at all: peaks come out with gaps.
#pragma once

#include <imgui.h>

#include <vector>

namespace cranknote::desk {

/// Whether a line of px turns somewhere by more than 60 degrees.
[[nodiscard]] bool has_sharp_turn(const std::vector<ImVec2>& points, bool closed);

/// Every piece by itself with smooth edges, each as far over its ends as its neighbour's turn asks for, at
/// most by half the width. Where the colour lets the ground through, the overlaps are seen.
void jagged_line(ImDrawList& list, const std::vector<ImVec2>& points, ImU32 colour, float width);

}  // namespace cranknote::desk
