// A course made exact: the turns are counted so that the comb's lines are sharpest.
#pragma once

#include "speed/coarse.hpp"
#include "speed/evidence.hpp"

namespace cranknote::speed_detail {

/// Against the angle of the present course, short pieces are cut, and for each the small relative correction
/// found at which the comb stands out most; a smooth path through the corrections improves the course.
/// Repeated with rising top frequency, since high lines are sharp only when the course is already good.
/// `scatter` (out, may be null): standard error of the mean cycle frequency, relative, from the pieces'
/// disagreement.
[[nodiscard]] Course refined(const Evidence& e, Course course, double* scatter);

/// A stream's samples against the course's angle: `per_cycle` samples a cycle, from the course's first full
/// cycle on.
[[nodiscard]] std::vector<float> stream_against_angle(const Stream& s, const Course& course,
                                                      double per_cycle);

}  // namespace cranknote::speed_detail
