// How a belt or chain runs round its pulleys: straight stretches tangent to both, arcs in between.
// Coordinates in mm, x to the right, y up, as in the layout.
#pragma once

#include <cstddef>
#include <vector>

#include "figure/geometry.hpp"

namespace cranknote::figure {

/// What the belt runs on, in its order. `radius` is where the belt's line runs.
struct Wheel {
    Point centre;
    double radius = 0.0;
    bool back_side = false;  ///< the belt's back runs on it: it turns the other way round
};

/// A closed run. Without touching (wrap 0) a wheel is only passed by.
struct BeltPath {
    std::vector<Point> points;  ///< closed, arcs in chords that no eye sees
    double length = 0.0;        ///< mm, of the true arcs
    std::vector<double> wrap;   ///< radians on each wheel, in their order
    std::vector<Point> off,
        on;             ///< where the belt leaves wheel i, and where it meets wheel i + 1 (the last: 0)
    bool sound = true;  ///< false: two neighbours overlap, so that no tangent exists; drawn as near as can be
};

/// Tangent geometry: with unit normal n to the left of the run and signed radii R (positive where the wheel
/// lies to the left), n·(c_j − c_i) = R_j − R_i. The sense of running is that in which the wheels stand round
/// their middle. Fewer than two wheels: an empty path.
[[nodiscard]] BeltPath belt_path(const std::vector<Wheel>& wheels);

/// The same wheels, each on the side of the belt on which it can be: one that the belt would have to go round
/// by more than three quarters lies on the other side (a layout that forgot `back_side`). For drawing only.
[[nodiscard]] std::vector<Wheel> settled(std::vector<Wheel> wheels);

/// The outline of a rubber band round circles, `margin` outside of them: a cover's outline. Anticlockwise,
/// closed.
[[nodiscard]] std::vector<Point> band_round(const std::vector<Wheel>& wheels, double margin);

}  // namespace cranknote::figure
