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

namespace {

/// Calls use(seconds) for each even step of angle.
template <class Use>
void each_step(const SpeedTrack& track, Seconds from, Seconds to, double per_turn, Use use) {
    if (track.empty() || !(per_turn > 0.0) || to <= from) return;
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
        for (; static_cast<double>(next) * step <= end; ++next)
            use(knots[i].value() + time_of_turns(static_cast<double>(next) * step - turns, a, b));
        turns = end;
    }
}

}  // namespace

std::vector<double> angle_positions(const SpeedTrack& track, SampleRate rate, Seconds from, Seconds to,
                                    double per_turn) {
    std::vector<double> positions;
    each_step(track, from, to, per_turn, [&](double t) { positions.push_back(t * rate.value()); });
    return positions;
}

std::vector<Seconds> times_of_turns(const SpeedTrack& track, std::span<const double> turns) {
    std::vector<Seconds> times;
    if (track.empty()) return times;
    double from = 0.0, done = 0.0;  // the last knot passed and the turns until there
    std::size_t next = static_cast<std::size_t>(
        std::upper_bound(track.at.begin(), track.at.end(), Seconds{0}) - track.at.begin());
    for (const double want : turns) {
        while (next < track.at.size()) {
            const double to = track.at[next].value();
            const double part =
                (track.speed_at(Seconds{from}) + track.speed_at(Seconds{to})).value() / 120.0 * (to - from);
            if (done + part >= want) break;
            done += part, from = to, ++next;
        }
        const double a = track.speed_at(Seconds{from}).value() / 60.0;
        double b = 0.0;
        if (next < track.at.size() && track.at[next].value() > from)
            b = (track.speed_at(track.at[next]).value() / 60.0 - a) / (track.at[next].value() - from);
        if (next == 0) b = 0.0;
        times.push_back(Seconds{from + time_of_turns(want - done, a, b)});
    }
    return times;
}

std::vector<std::vector<float>> against_angle(const std::vector<std::span<const float>>& x, SampleRate rate,
                                              const SpeedTrack& track, double per_turn) {
    std::vector<std::vector<float>> out(x.size());
    if (x.empty()) return out;
    const auto& kernel = signal::full_band_interpolator();
    const Seconds end{static_cast<double>(x.front().size()) / rate.value()};
    for (auto& v : out) v.reserve(static_cast<std::size_t>(track.turns_at(end) * per_turn) + 2);
    each_step(track, Seconds{0}, end, per_turn, [&](double t) {
        for (std::size_t i = 0; i < x.size(); ++i) out[i].push_back(kernel.at(x[i], t * rate.value()));
    });
    return out;
}

std::vector<float> against_angle(std::span<const float> x, SampleRate rate, const SpeedTrack& track,
                                 double per_turn) {
    return against_angle(std::vector<std::span<const float>>{x}, rate, track, per_turn).front();
}

}  // namespace cranknote
