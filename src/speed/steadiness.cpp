#include "speed/steadiness.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "signal/distribution.hpp"
#include "speed/in_words.hpp"

namespace cranknote {

namespace {

using namespace speed_detail;

constexpr Seconds shortest_judged{3.0}, course_step{0.1}, averaged{0.3};
constexpr double most_periods_a_second = 1.25;  // faster is a misfire, not the idle control
constexpr double fewest_periods = 3.0;
// Chosen on the set `tune` (score_speed steady): a wandering idle seldom looks like one swing by so much.
constexpr double least_share = 0.62, least_share_of_half = 0.5;
constexpr double most_turned = 0.9;     // rad by which the halves may disagree in phase
constexpr double least_swing = 0.004;   // relative; below it nobody would call it hunting
constexpr double track_noise = 0.0015;  // relative rms that a track of a still idle has (score_speed)
constexpr double still = 0.005, restless = 0.02;  // an idle wanders by 0.5 to 2 % (common practice)

/// The relative speed around its straight course, every `course_step`.
std::vector<double> wander_of(const SpeedReading& r) {
    const auto [from, to] = r.running.used;
    std::vector<double> y;
    for (Seconds t = from + averaged / 2; t + averaged / 2 <= to; t += course_step) {
        const double minutes = averaged.value() / 60.0;
        y.push_back(r.track.turns_between(t - averaged / 2, t + averaged / 2) / minutes / r.mean->value());
    }
    const auto n = static_cast<double>(y.size());
    double mean = 0.0, slope = 0.0, square = 0.0;
    for (const double v : y) mean += v / n;
    for (std::size_t i = 0; i < y.size(); ++i) {
        const double x = static_cast<double>(i) - 0.5 * (n - 1.0);
        slope += x * y[i], square += x * x;
    }
    slope = square > 0.0 ? slope / square : 0.0;
    for (std::size_t i = 0; i < y.size(); ++i)
        y[i] -= mean + slope * (static_cast<double>(i) - 0.5 * (n - 1.0));
    return y;
}

double mean_square(const std::vector<double>& y) {
    double s = 0.0;
    for (const double v : y) s += v * v / static_cast<double>(y.size());
    return s;
}

/// How many independent values a variance rests on.
double independent(const std::vector<double>& y) {
    const double all = mean_square(y) * static_cast<double>(y.size());
    double sum = 1.0;
    for (std::size_t lag = 1; lag < y.size() / 2 && all > 0.0; ++lag) {
        double s = 0.0;
        for (std::size_t i = 0; i + lag < y.size(); ++i) s += y[i] * y[i + lag];
        sum += 2.0 * std::pow(s / all, 2);
    }
    return std::max(2.0, static_cast<double>(y.size()) / sum);
}

/// A swing of one frequency fitted to a stretch: share of the mean square it explains, size and phase.
struct Swing {
    double share = 0.0, size = 0.0, phase = 0.0;
};

Swing swing_of(const std::vector<double>& y, std::size_t from, std::size_t to, double per_step) {
    double c = 0.0, s = 0.0, cc = 0.0, ss = 0.0, cs = 0.0, yy = 0.0;
    for (std::size_t i = from; i < to; ++i) {
        const double angle = 2.0 * std::numbers::pi * per_step * static_cast<double>(i);
        const double u = std::cos(angle), v = std::sin(angle);
        c += y[i] * u, s += y[i] * v, yy += y[i] * y[i];
        cc += u * u, ss += v * v, cs += u * v;
    }
    const double det = cc * ss - cs * cs;
    if (!(det > 0.0) || !(yy > 0.0)) return {};
    const double a = (c * ss - s * cs) / det, b = (s * cc - c * cs) / det;
    return {(a * c + b * s) / yy, std::hypot(a, b), std::atan2(b, a)};
}

double turned_by(double a, double b) { return std::abs(std::remainder(a - b, 2.0 * std::numbers::pi)); }

std::optional<Hunting> hunting_in(const std::vector<double>& y) {
    const double seconds = static_cast<double>(y.size()) * course_step.value();
    const double lowest = fewest_periods / seconds, fine = 0.05 / seconds;
    double best = 0.0;
    Swing whole;
    for (double f = lowest; f <= most_periods_a_second; f += fine) {
        const auto w = swing_of(y, 0, y.size(), f * course_step.value());
        if (w.share > whole.share) whole = w, best = f;
    }
    if (whole.share < least_share || whole.size < least_swing || best < lowest + fine / 2) return {};
    const auto a = swing_of(y, 0, y.size() / 2, best * course_step.value());
    const auto b = swing_of(y, y.size() / 2, y.size(), best * course_step.value());
    if (std::min(a.share, b.share) < least_share_of_half || turned_by(a.phase, b.phase) > most_turned)
        return {};
    auto rest = y;
    for (std::size_t i = 0; i < rest.size(); ++i)
        rest[i] -= whole.size *
                   std::cos(2.0 * std::numbers::pi * best * course_step.value() * static_cast<double>(i) -
                            whole.phase);
    // Cramér-Rao bound of one tone's frequency, var(2 pi f T) >= 24 s^2 / (a^2 n) (Rife & Boorstyn 1974;
    // memory), with n the independent values of the rest. Tests measure how often it holds.
    const double off = std::sqrt(24.0 * mean_square(rest) / independent(rest)) / whole.size /
                       (2.0 * std::numbers::pi * seconds);
    const double half = 1.96 * off;
    return Hunting{Seconds{1.0 / best},
                   {Seconds{1.0 / (best + half)}, Seconds{1.0 / std::max(0.1 * best, best - half)}},
                   whole.size};
}

/// "0.4" below ten, where a tenth still says something, "17" above.
std::string rpm_text(double rpm) { return rpm < 9.95 ? tenths(rpm) : std::to_string(std::lround(rpm)); }

std::string steadiness_text(const Steadiness& s, Rpm mean, double seconds) {
    const auto rpm = [&](double share) { return rpm_text(share * mean.value()); };
    if (s.hunting)
        return "It hunts: " + rpm(s.hunting->swing) + " rpm up and down every " +
               tenths(s.hunting->period.value()) + " s (95 %: " + tenths(s.hunting->interval.first.value()) +
               " to " + tenths(s.hunting->interval.second.value()) + " s).";
    const std::string text = s.interval.second < still     ? "Very steady"
                             : s.interval.first > restless ? "Unsteady"
                                                           : "About as steady as idles are";
    return text + ": it wanders by " + rpm(s.spread) + " rpm rms (95 %: " + rpm(s.interval.first) + " to " +
           rpm(s.interval.second) + ")." +
           (seconds < 8.0 ? " Too short to hear whether it hunts." : " No regular hunting.");
}

}  // namespace

std::optional<Steadiness> steadiness_of(const SpeedReading& r) {
    const auto [from, to] = r.running.used;
    if (!r.mean || r.mean_from == SpeedSource::entered || r.track.at.size() < 4 ||
        to - from < shortest_judged)
        return std::nullopt;
    const auto y = wander_of(r);
    if (y.size() < 20) return std::nullopt;
    Steadiness s;
    const double square = mean_square(y), dof = independent(y);
    s.spread = std::sqrt(square);
    const signal::ChiSquare chi{dof};
    const double low = square * dof / signal::quantile(chi, 0.975),
                 high = square * dof / signal::quantile(chi, 0.025);
    s.interval = {std::sqrt(std::max(0.0, low - track_noise * track_noise)), std::sqrt(high)};
    s.hunting = hunting_in(y);
    s.text = steadiness_text(s, *r.mean, (to - from).value());
    return s;
}

}  // namespace cranknote
