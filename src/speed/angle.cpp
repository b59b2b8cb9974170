#include "speed/angle.hpp"

#include <algorithm>
#include <cmath>

#include "signal/resample.hpp"

namespace cranknote {

namespace {

/// Time after a knot at which `turns` are reached, where speed starts at a (turns/s) and changes by b a
/// second.
double time_of_turns(double turns, double a, double b) {
    // turns = a t + b t^2 / 2, solved in the form that does not cancel when b is small.
    const double root = std::sqrt(std::max(0.0, a * a + 2.0 * b * turns));
    const double sum = a + root;
    return sum > 0.0 ? 2.0 * turns / sum : 0.0;
}

}  // namespace

std::vector<double> angle_positions(const SpeedTrack& track, SampleRate rate, Seconds from, Seconds to,
                                    double per_turn) {
    std::vector<double> positions;
    if (track.empty() || !(per_turn > 0.0) || to <= from) return positions;
    std::vector<Seconds> knots{from};
    for (const auto t : track.at)
        if (t > from && t < to) knots.push_back(t);
    knots.push_back(to);
    const double step = 1.0 / per_turn;
    double turns = 0.0;    // at the current knot
    std::size_t next = 0;  // index of the next angle
    for (std::size_t i = 0; i + 1 < knots.size(); ++i) {
        const double dt = (knots[i + 1] - knots[i]).value();
        const double a = track.speed_at(knots[i]).value() / 60.0,
                     b = (track.speed_at(knots[i + 1]).value() / 60.0 - a) / dt;
        const double end = turns + (a + 0.5 * b * dt) * dt;
        for (; static_cast<double>(next) * step <= end; ++next) {
            const double t = knots[i].value() + time_of_turns(static_cast<double>(next) * step - turns, a, b);
            positions.push_back(t * rate.value());
        }
        turns = end;
    }
    return positions;
}

std::vector<float> against_angle(std::span<const float> x, SampleRate rate, const SpeedTrack& track,
                                 double per_turn) {
    const Seconds end{static_cast<double>(x.size()) / rate.value()};
    const auto positions = angle_positions(track, rate, Seconds{0}, end, per_turn);
    std::vector<float> out(positions.size());
    static const signal::Interpolator kernel;  // a constant table
    kernel.at(x, positions, out);
    return out;
}

}  // namespace cranknote
