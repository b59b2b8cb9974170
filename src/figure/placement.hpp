// Where every part stands in the drawing and how large it is there.
#pragma once

#include <string>
#include <vector>

#include "figure/geometry.hpp"
#include "layout/layout.hpp"

namespace cranknote::figure {

/// A part in the drawing. mm, seen from the front, x to the right, y up.
struct Placed {
    const Part* part = nullptr;  ///< of the layout, which must live as long
    Point at;
    double radius = 0.0;   ///< where its belt, chain or mesh runs
    bool timing = false;   ///< of a drive that turns a cam wheel, and so behind
    bool guessed = false;  ///< the layout does not say where it is
};

/// Every part of the layout, in its order. Places that the layout gives are kept. The others: parts on a
/// common shaft together, the parts of a drive round their driver in the order of the route (without a route,
/// where their kind usually is), cam wheels on top, nothing over another unless on one shaft. Sizes: counted
/// teeth, the measured diameter, counted turns, else the middle of the usual range.
[[nodiscard]] std::vector<Placed> place_parts(const Layout& layout);

/// The parts on a drive in the order in which it runs, the driver first: the route, or round their middle.
[[nodiscard]] std::vector<std::string> running_order(const Drive& drive, const std::vector<Placed>& placed);

/// Does this drive turn a camshaft?
[[nodiscard]] bool is_timing(const Layout& layout, const Drive& drive);

}  // namespace cranknote::figure
