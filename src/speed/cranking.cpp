#include "speed/cranking.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace cranknote::speed_detail {

namespace {

constexpr Rpm slowest{130}, fastest{330};
constexpr double wanted_rate = 100.0;  // values a second: strokes come 2 to 22 times a second
constexpr double least_alike = 0.30;   // correlation of the swelling with itself one stroke later
constexpr double as_good = 0.75;       // a shorter period that fits so well is the stroke, the longer one two
constexpr Seconds shortest_cranking{2.0};

/// The envelopes' mean, so many values a second.
std::vector<double> swelling(const Evidence& e, double& rate) {
    std::vector<double> y;
    if (e.envelopes.empty()) return y;
    const auto& first = e.envelopes.front();
    const auto by = static_cast<std::size_t>(std::max(1.0, std::round(first.rate.value() / wanted_rate)));
    rate = first.rate.value() / static_cast<double>(by);
    y.assign(first.samples.size() / by, 0.0);
    for (const auto& s : e.envelopes)
        for (std::size_t i = 0; i < std::min(y.size(), s.samples.size() / by); ++i)
            for (std::size_t k = 0; k < by; ++k) y[i] += static_cast<double>(s.samples[i * by + k]);
    return y;
}

/// Correlation of y with itself `lag` values later.
std::vector<double> alike(const std::vector<double>& y, std::size_t most) {
    std::vector<double> r(most + 1, 0.0);
    double all = 0.0;
    for (const double v : y) all += v * v;
    for (std::size_t lag = 0; lag <= most && lag < y.size() && all > 0.0; ++lag) {
        double s = 0.0;
        for (std::size_t i = 0; i + lag < y.size(); ++i) s += y[i] * y[i + lag];
        r[lag] = s / all * static_cast<double>(y.size()) / static_cast<double>(y.size() - lag);
    }
    return r;
}

/// The stroke's period in values: the shortest that fits about as well as any.
std::size_t period_in(const std::vector<double>& r) {
    double best = 0.0;
    const auto peak = [&](std::size_t k) { return r[k] >= r[k - 1] && r[k] > r[k + 1]; };
    for (std::size_t k = 2; k + 1 < r.size(); ++k)
        if (peak(k)) best = std::max(best, r[k]);
    if (best < least_alike) return 0;
    for (std::size_t k = 2; k + 1 < r.size(); ++k)
        if (peak(k) && r[k] >= as_good * best) return k;
    return 0;
}

}  // namespace

std::optional<Cranking> cranking_in(const Evidence& e, std::optional<int> cylinders, int cycle_turns) {
    if (e.duration < shortest_cranking) return std::nullopt;
    double rate = 1.0;
    const auto y = swelling(e, rate);
    const auto r = alike(y, std::min(y.size() / 3, static_cast<std::size_t>(0.6 * rate)));
    const auto k = r.size() > 3 ? period_in(r) : 0;
    if (k == 0) return std::nullopt;
    const double bow = r[k - 1] - 2.0 * r[k] + r[k + 1];
    const double place = static_cast<double>(k) + (bow < 0.0 ? 0.5 * (r[k - 1] - r[k + 1]) / bow : 0.0);
    const int count = cylinders.value_or(4);
    const Rpm speed = rpm_of_turns(Hertz{rate / place * cycle_turns / count});
    if (speed < slowest || speed > fastest) return std::nullopt;
    return Cranking{{Seconds{0}, e.duration}, speed};
}

}  // namespace cranknote::speed_detail
