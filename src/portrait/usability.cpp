#include "portrait/usability.hpp"

#include <algorithm>
#include <cmath>

namespace cranknote {

namespace {

constexpr Seconds too_short{2.0};

}  // namespace

Usability usability_of(std::span<const float>, const Portrait& p, const Coding&) {
    Usability u;
    u.low = p.hz_low, u.high = p.hz_high;
    if (p.duration < too_short)
        u.remarks.push_back({QualityCode::short_, Severity::unusable,
                             "Too short to compare: record 10 seconds or more.", std::nullopt});
    return u;
}

}  // namespace cranknote
