// Labels that never collide, neither with each other nor with each other's leader lines.
#pragma once

#include <cstddef>
#include <vector>

#include "figure/geometry.hpp"

namespace cranknote::figure {

/// Wanted: a label `width` px wide above a line, with a leader down to `x`.
struct FlagRequest {
    double x = 0.0, width = 0.0, weight = 1.0;
};
/// Where it goes: row 0 is nearest to the line. The leader runs straight down from the label at `knee_x`,
/// which lies within the label, and bends to x at its very end. Not shown: there was no room.
struct FlagPlace {
    bool shown = false;
    int row = 0;
    double left = 0.0, knee_x = 0.0;
};

/// Rows of labels between left and right. No label covers another or another's leader, and leaders do not
/// cross. Where there is no room for all, the lightest are not shown. Same order as the requests.
[[nodiscard]] std::vector<FlagPlace> place_flags(const std::vector<FlagRequest>& wanted, double left,
                                                 double right, int most_rows, double gap);

/// Moves values as little as possible so that neighbours in order are at least `least` apart (each pair half
/// the sum of its two sizes, plus gap) and all lie within [low, high] if they fit. Sizes are heights of
/// labels whose middles the values are. Same order as the input.
[[nodiscard]] std::vector<double> spread_apart(const std::vector<double>& middles,
                                               const std::vector<double>& sizes, double gap, double low,
                                               double high);

/// Wanted: a label in a column beside a drawing, with a straight leader to `at`.
struct CalloutRequest {
    Point at;
    Size size;
    double weight = 1.0;
};
struct CalloutPlace {
    bool shown = false;
    bool on_left = false;
    Box box;       ///< of the label
    Point leader;  ///< where the leader starts, at the label's edge; it ends at `at`
};

/// Columns of labels left and right of `drawing` (the box that the drawing fills), between `top` and
/// `bottom`. No label covers another and no two leaders of a column cross.
[[nodiscard]] std::vector<CalloutPlace> place_callouts(const std::vector<CalloutRequest>& wanted,
                                                       const Box& drawing, double top, double bottom,
                                                       double gap);

/// Round badges of one radius, moved as little as a few rounds of pushing allow until none covers another and
/// all lie inside `area`. Same order as the input.
[[nodiscard]] std::vector<Point> place_badges(std::vector<Point> at, double radius, const Box& area);

/// True if the stretches ab and cd cross (touching ends do not count).
[[nodiscard]] bool segments_cross(Point a, Point b, Point c, Point d);

}  // namespace cranknote::figure
