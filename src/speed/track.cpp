#include "speed/track.hpp"

#include <algorithm>
#include <cstddef>

namespace cranknote {

Rpm SpeedTrack::speed_at(Seconds t) const {
    if (at.empty()) return Rpm{0};
    if (t <= at.front()) return rpm.front();
    if (t >= at.back()) return rpm.back();
    const auto i = static_cast<std::size_t>(std::upper_bound(at.begin(), at.end(), t) - at.begin());
    const double w = (t - at[i - 1]) / (at[i] - at[i - 1]);
    return rpm[i - 1] + (rpm[i] - rpm[i - 1]) * w;
}

double SpeedTrack::turns_between(Seconds from, Seconds to) const {
    if (at.empty()) return 0.0;
    // The speed is linear between knots, so the trapezoid rule over the knots inside is exact.
    double turns = 0.0;
    Seconds t = from;
    const auto add_to = [&](Seconds next) {
        turns += (speed_at(t) + speed_at(next)).value() / 120.0 * (next - t).value();
        t = next;
    };
    for (auto i = std::upper_bound(at.begin(), at.end(), from); i != at.end() && *i < to; ++i) add_to(*i);
    add_to(to);
    return turns;
}

double SpeedTrack::turns_at(Seconds t) const { return turns_between(Seconds{0}, t); }

SpeedTrack SpeedTrack::scaled(double factor) const {
    SpeedTrack s = *this;
    for (auto& r : s.rpm) r = r * factor;
    return s;
}

}  // namespace cranknote
