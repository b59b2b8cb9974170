#include "speed/pickup.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace cranknote {

namespace {

constexpr std::size_t fewest_pulses = 6;
constexpr double block_seconds = 0.2;      // at 300 rpm a plug of a four-stroke fires every 0.4 s
constexpr double shortest_period = 0.002;  // s; a coil of an eight at 7000 rpm: 2.1 ms
constexpr double too_soon = 0.6;           // of the period around
constexpr std::size_t around = 5;          // intervals to either side that tell the period
constexpr double standing_seconds = 0.7, standing_periods = 6.0;  // a longer gap: the engine stands
constexpr Rpm slowest_running{380};                               // as in from_sound.hpp

double median_of(std::vector<double> v) {
    if (v.empty()) return 0.0;
    const auto m = v.begin() + static_cast<std::ptrdiff_t>(v.size() / 2);
    std::nth_element(v.begin(), m, v.end());
    return *m;
}

/// Peaks of either polarity, typical of the stronger half of the blocks.
double typical_peak(std::span<const float> x, double rate, float sign) {
    const auto block = std::max<std::size_t>(1, static_cast<std::size_t>(block_seconds * rate));
    std::vector<double> peaks;
    for (std::size_t a = 0; a < x.size(); a += block) {
        float top = 0.0F;
        for (std::size_t i = a; i < std::min(x.size(), a + block); ++i) top = std::max(top, sign * x[i]);
        peaks.push_back(static_cast<double>(top));
    }
    std::sort(peaks.begin(), peaks.end());
    return peaks.empty() ? 0.0 : peaks[peaks.size() * 3 / 4];
}

std::vector<float> centred(std::span<const float> x) {
    std::vector<float> y(x.begin(), x.end());
    if (y.empty()) return y;
    auto sorted = y;
    const auto m = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2);
    std::nth_element(sorted.begin(), m, sorted.end());
    const float rest = *m;
    for (auto& v : y) v -= rest;
    return y;
}

/// Rises through half of the peak that follows within `width` samples, `dead` samples apart at least.
std::vector<double> rises(const std::vector<float>& y, float threshold, std::size_t width, std::size_t dead) {
    std::vector<double> at;
    for (std::size_t i = 1; i < y.size(); ++i) {
        if (y[i] < threshold || y[i - 1] >= threshold) continue;
        const auto end = y.begin() + static_cast<std::ptrdiff_t>(std::min(y.size(), i + width));
        const float half = 0.5F * *std::max_element(y.begin() + static_cast<std::ptrdiff_t>(i), end);
        std::size_t k = i;
        while (k > 0 && y[k] >= half && i - k < width) --k;
        while (k + 1 < y.size() && y[k + 1] < half) ++k;
        const float low = y[k], high = k + 1 < y.size() ? y[k + 1] : low;
        at.push_back(static_cast<double>(k) +
                     (high > low ? static_cast<double>((half - low) / (high - low)) : 0.0));
        i += dead;
    }
    return at;
}

std::vector<double> intervals_of(const std::vector<double>& at) {
    std::vector<double> d;
    for (std::size_t i = 0; i + 1 < at.size(); ++i) d.push_back(at[i + 1] - at[i]);
    return d;
}

/// The period that most intervals are near to: the middle of the densest octave quarter.
double usual_interval(const std::vector<double>& interval) {
    double best = 0.0;
    std::size_t most = 0;
    for (const double v : interval) {
        const auto n = static_cast<std::size_t>(std::count_if(
            interval.begin(), interval.end(), [&](double w) { return w > 0.87 * v && w < 1.15 * v; }));
        // Of equally many, the longer: ringing repeats too.
        if (n > most || (n == most && v > best)) most = n, best = v;
    }
    return best;
}

/// The period around interval i.
double period_at(const std::vector<double>& interval, std::size_t i) {
    const std::size_t a = i > around ? i - around : 0, b = std::min(interval.size(), i + around + 1);
    return usual_interval({interval.begin() + static_cast<std::ptrdiff_t>(std::min(a, b)),
                           interval.begin() + static_cast<std::ptrdiff_t>(b)});
}

/// The longest run of pulses without a gap that only a standing engine leaves.
std::vector<double> longest_run(const std::vector<double>& at, double samples_a_second) {
    const auto interval = intervals_of(at);
    std::size_t first = 0, best = 0, most = 0;
    for (std::size_t i = 0; i < at.size(); ++i) {
        const bool ends = i + 1 == at.size() || (interval[i] > standing_seconds * samples_a_second &&
                                                 interval[i] > standing_periods * period_at(interval, i));
        if (!ends) continue;
        if (i + 1 - first > most) most = i + 1 - first, best = first;
        first = i + 1;
    }
    return {at.begin() + static_cast<std::ptrdiff_t>(best),
            at.begin() + static_cast<std::ptrdiff_t>(best + most)};
}

}  // namespace

Pulses pulses_in(std::span<const float> x, SampleRate rate) {
    Pulses p;
    auto y = centred(x);
    const double up = typical_peak(y, rate.value(), 1.0F), down = typical_peak(y, rate.value(), -1.0F);
    p.negative = down > up;
    if (p.negative)
        for (auto& v : y) v = -v;
    std::vector<double> size;
    for (std::size_t i = 0; i < y.size(); i += 7) size.push_back(std::abs(static_cast<double>(y[i])));
    const double peak = std::max(up, down), rest = median_of(size);
    if (!(peak > 8.0 * rest) || !(peak > 0.0)) return p;  // noise has peaks of 5 times its median
    const double samples = rate.value();
    auto at = rises(y, static_cast<float>(0.4 * peak), static_cast<std::size_t>(0.0005 * samples) + 2,
                    static_cast<std::size_t>(shortest_period * samples));
    if (at.size() < fewest_pulses) return p;
    const auto raw = intervals_of(at);
    std::vector<double> kept{at.front()};
    for (std::size_t i = 1; i < at.size(); ++i) {
        if (at[i] - kept.back() < too_soon * period_at(raw, i - 1))
            ++p.doubled;
        else
            kept.push_back(at[i]);
    }
    kept = longest_run(kept, samples);
    if (kept.size() < fewest_pulses) return p;
    const auto interval = intervals_of(kept);
    long number = 0;
    for (std::size_t i = 0; i < kept.size(); ++i) {
        if (i > 0) {
            const long steps = std::max(1L, std::lround(interval[i - 1] / period_at(interval, i - 1)));
            p.missed += static_cast<std::size_t>(steps - 1);
            number += steps;
        }
        p.at.emplace_back(kept[i] / samples);
        p.number.push_back(number);
    }
    return p;
}

double PickupReading::turns_at(Seconds t) const {
    const auto& at = pulses.at;
    if (at.size() < 2) return 0.0;
    const auto above = std::upper_bound(at.begin(), at.end(), t) - at.begin();
    const auto i = static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(above, 1, std::ssize(at) - 1));
    const double part = (t - at[i - 1]) / (at[i] - at[i - 1]);
    const auto from = static_cast<double>(pulses.number[i - 1]), to = static_cast<double>(pulses.number[i]);
    return (from + (to - from) * part) / pulses_per_turn;
}

Degrees PickupReading::position_at(Seconds t) const {
    const double cycles = turns_at(t) / cycle_turns;
    return Degrees{(cycles - std::floor(cycles)) * 360.0 * cycle_turns};
}

namespace {

/// How many pulses a turn: as said, else what comes nearest to the speed from elsewhere, else what gives a
/// usual speed (a plug of a four-stroke before a wasted spark).
double per_turn_of(const PickupSettings& s, double pulses_per_minute, PickupReading& r) {
    if (s.pulses_per_turn) return *s.pulses_per_turn;
    r.inferred = true;
    const double all = static_cast<double>(s.cylinders) / (s.stroke == 2 ? 1.0 : 2.0);
    std::vector<double> usual{s.stroke == 2 ? 1.0 : 0.5, 1.0, all};
    double best = usual.front(), best_miss = 1e9;
    for (std::size_t i = 0; i < usual.size(); ++i) {
        const double rpm = pulses_per_minute / usual[i];
        const double miss =
            s.about ? std::abs(std::log(rpm / s.about->value()))
                    : std::abs(std::log(rpm / 950.0)) + 0.2 * static_cast<double>(i);  // idles are likeliest
        if (miss < best_miss - 1e-9) best_miss = miss, best = usual[i];
    }
    return best;
}

void fill_alternatives(PickupReading& r, const PickupSettings& s, double pulses_per_minute) {
    if (!r.inferred || s.about) return;
    r.speed.confidence = 0.8;  // judgement: a guess from what is usual
    for (const double other : {0.5, 1.0, 0.5 * static_cast<double>(s.cylinders)}) {
        const Rpm rpm{pulses_per_minute / other};
        if (other != r.pulses_per_turn && rpm > Rpm{300} && rpm < Rpm{8000})
            r.speed.alternatives.push_back({rpm, 0.1});
    }
}

/// Lowest and highest of the speed averaged over a cycle.
void fill_range(PickupReading& r) {
    const auto& p = r.pulses;
    const auto cycle = std::max(1L, std::lround(r.pulses_per_turn * r.cycle_turns));
    auto& speed = r.speed;
    speed.low = speed.high = *speed.mean;
    for (std::size_t a = 0, b = 0; b < p.at.size(); ++b) {
        while (p.number[b] - p.number[a + 1] >= cycle && a + 1 < b) ++a;
        const auto count = p.number[b] - p.number[a];
        if (count < cycle) continue;
        const double minutes = (p.at[b] - p.at[a]).value() / 60.0;
        const Rpm n{static_cast<double>(count) / r.pulses_per_turn / minutes};
        speed.low = std::min(speed.low, n), speed.high = std::max(speed.high, n);
    }
}

void fill_running(PickupReading& r, Seconds duration) {
    auto& run = r.speed.running;
    const auto [from, to] = run.used;
    const Seconds gap{
        std::max(standing_seconds, standing_periods * 60.0 / (r.pulses_per_turn * r.speed.mean->value()))};
    if (from > gap) run.starts = from;
    if (duration - to > gap) run.stops = to;
    double square = 0.0;
    for (const auto n : r.speed.track.rpm) square += std::pow(n / *r.speed.mean - 1.0, 2);
    run.spread = std::sqrt(square / static_cast<double>(std::max<std::size_t>(1, r.speed.track.rpm.size())));
    if (r.speed.high < slowest_running) run.cranking = run.used, run.cranking_speed = *r.speed.mean;
}

}  // namespace

PickupReading speed_from_pickup(std::span<const float> x, SampleRate rate, const PickupSettings& s) {
    PickupReading r;
    r.cycle_turns = s.stroke == 2 ? 1 : 2;
    r.speed.source = r.speed.mean_from = SpeedSource::pickup;
    r.pulses = pulses_in(x, rate);
    const auto& at = r.pulses.at;
    if (at.size() < fewest_pulses) {
        r.speed.remarks.emplace_back("No pulses on the pickup channel: is the clamp on a plug lead?");
        return r;
    }
    const double minutes = (at.back() - at.front()).value() / 60.0;
    const auto count = static_cast<double>(r.pulses.number.back());
    r.pulses_per_turn = per_turn_of(s, count / minutes, r);
    auto& speed = r.speed;
    std::vector<double> jitter;
    for (std::size_t i = 0; i + 1 < at.size(); ++i) {
        const auto steps = static_cast<double>(r.pulses.number[i + 1] - r.pulses.number[i]);
        speed.track.at.push_back((at[i] + at[i + 1]) / 2.0);
        speed.track.rpm.emplace_back(steps / r.pulses_per_turn / (at[i + 1] - at[i]).value() * 60.0);
        if (i > 0) jitter.push_back(std::abs((at[i + 1] - at[i] - (at[i] - at[i - 1])).value()));
    }
    speed.mean = Rpm{count / r.pulses_per_turn / minutes};
    speed.running.used = {at.front(), at.back()};
    // Only the first and the last pulse's time count; each is as sure as intervals scatter, or as a sample.
    const double scatter = std::max(median_of(jitter), 1.0 / rate.value());
    const Rpm half = *speed.mean * (1.96 * scatter / (minutes * 60.0));
    speed.interval = {*speed.mean - half, *speed.mean + half};
    fill_range(r);
    fill_running(r, Seconds{static_cast<double>(x.size()) / rate.value()});
    speed.confidence = 0.999;
    fill_alternatives(r, s, count / minutes);
    return r;
}

CycleAverage cycle_average(std::span<const float> sound, SampleRate rate, const PickupReading& pickup,
                           std::size_t points) {
    CycleAverage out;
    const auto& at = pickup.pulses.at;
    if (at.size() < 2 || points == 0) return out;
    // Rectified above 500 Hz (one pole): the low rumble has no sharp events.
    const double keep = 1.0 / (1.0 + 2.0 * 3.141592653589793 * 500.0 / rate.value());
    std::vector<float> y(sound.size());
    double high = 0.0, before = 0.0;
    for (std::size_t i = 0; i < y.size(); ++i) {
        high = keep * (high + static_cast<double>(sound[i]) - before);
        before = static_cast<double>(sound[i]);
        y[i] = static_cast<float>(std::abs(high));
    }
    std::vector<double> sum(points, 0.0), squares(points, 0.0), count(points, 0.0);
    const auto first = static_cast<std::size_t>(std::ceil(at.front().value() * rate.value()));
    const auto last = std::min(y.size(), static_cast<std::size_t>(at.back().value() * rate.value()));
    for (std::size_t i = first; i < last; ++i) {
        const Seconds t{static_cast<double>(i) / rate.value()};
        const double cycles = pickup.turns_at(t) / pickup.cycle_turns;
        const auto k = static_cast<std::size_t>((cycles - std::floor(cycles)) * static_cast<double>(points));
        const auto v = static_cast<double>(y[i]);
        sum[std::min(k, points - 1)] += v, squares[std::min(k, points - 1)] += v * v;
        count[std::min(k, points - 1)] += 1.0;
    }
    for (std::size_t k = 0; k < points; ++k) {
        const double n = std::max(1.0, count[k]), mean = sum[k] / n;
        out.level.push_back(mean);
        out.scatter.push_back(std::sqrt(std::max(0.0, squares[k] / n - mean * mean) / n));
    }
    out.cycles = static_cast<std::size_t>(pickup.turns_at(at.back()) / pickup.cycle_turns);
    return out;
}

std::optional<Degrees> event_shift(const CycleAverage& a, const CycleAverage& b, int cycle_turns) {
    const std::size_t n = a.level.size();
    if (n == 0 || b.level.size() != n || a.cycles < 2 || b.cycles < 2) return std::nullopt;
    const auto mean = [n](const std::vector<double>& v) {
        return std::accumulate(v.begin(), v.end(), 0.0) / static_cast<double>(n);
    };
    const double ma = mean(a.level), mb = mean(b.level), per = 360.0 * cycle_turns / static_cast<double>(n);
    const auto reach = static_cast<std::ptrdiff_t>(60.0 / per);
    std::vector<double> match;
    for (std::ptrdiff_t d = -reach; d <= reach; ++d) {
        double sum = 0.0;
        for (std::size_t i = 0; i < n; ++i) {
            const auto j = (static_cast<std::ptrdiff_t>(i) + d + std::ssize(b.level)) % std::ssize(b.level);
            sum += (a.level[i] - ma) * (b.level[static_cast<std::size_t>(j)] - mb);
        }
        match.push_back(sum);
    }
    const auto top = static_cast<std::size_t>(std::max_element(match.begin(), match.end()) - match.begin());
    double place = static_cast<double>(top);
    if (top > 0 && top + 1 < match.size()) {
        const double bow = match[top - 1] - 2.0 * match[top] + match[top + 1];
        if (bow < 0.0) place += std::clamp(0.5 * (match[top - 1] - match[top + 1]) / bow, -0.5, 0.5);
    }
    return Degrees{(place - static_cast<double>(reach)) * per};
}

}  // namespace cranknote
