#include "portrait/portrait.hpp"

#include <algorithm>
#include <cmath>

#include "signal/envelope.hpp"
#include "signal/fft.hpp"
#include "signal/resample.hpp"
#include "signal/spectrum.hpp"
#include "speed/angle.hpp"

namespace cranknote {

namespace {

constexpr double hz_block = 0.17;  // s: 6 Hz between lines
constexpr std::size_t stretch_count = 10;
constexpr double tone_rate = 12000.0;  // samples per second for tones: up to 5 kHz
constexpr double tone_hz_block = 1.0;  // s
constexpr double envelope_window = 0.0027, envelope_hop = 0.0009;  // s
constexpr double series_step = 0.05;                               // s

std::size_t even(double n) {
    return std::max<std::size_t>(8, 2 * static_cast<std::size_t>(std::lround(n / 2.0)));
}

AxisSpectrum hz_spectrum(std::span<const float> x, SampleRate rate) {
    AxisSpectrum a;
    const std::size_t length = signal::fast_size(even(hz_block * rate.value())), hop = length / 2;
    const auto whole = signal::spectrogram(x, rate.value(), length, hop);
    if (whole.rows == 0) return a;
    const auto mean = signal::averaged(whole, length, hop);
    a.step = mean.step, a.density = mean.density, a.dof = mean.dof;
    const std::size_t count = std::min(stretch_count, whole.rows);
    for (std::size_t s = 0; s < count; ++s) {
        const std::size_t from = s * whole.rows / count, to = (s + 1) * whole.rows / count;
        std::vector<float> sum(whole.lines, 0.0F);
        for (std::size_t r = from; r < to; ++r) {
            const auto row = whole.row(r);
            for (std::size_t k = 0; k < sum.size(); ++k) sum[k] += row[k];
        }
        for (auto& v : sum) v /= static_cast<float>(to - from);
        a.stretches.push_back(std::move(sum));
    }
    return a;
}

/// Median of y over a window that reaches `reach(i)` lines to each side, taken on knots and drawn straight
/// between.
template <class Reach>
std::vector<float> local_median(const std::vector<float>& y, Reach reach) {
    std::vector<float> out(y.size()), part;
    if (y.empty()) return out;
    const auto median_at = [&](std::size_t c) {
        const std::size_t r = std::max<std::size_t>(2, reach(c));
        const std::size_t a = c > r ? c - r : 0, b = std::min(y.size(), c + r + 1);
        part.assign(y.begin() + static_cast<std::ptrdiff_t>(a), y.begin() + static_cast<std::ptrdiff_t>(b));
        const auto m = part.begin() + static_cast<std::ptrdiff_t>(part.size() / 2);
        std::nth_element(part.begin(), m, part.end());
        return *m;
    };
    std::size_t knot = 0;
    float value = median_at(0);
    while (knot + 1 < y.size()) {
        const std::size_t next = std::min(y.size() - 1, knot + std::max<std::size_t>(1, reach(knot) / 4));
        const float after = median_at(next);
        for (std::size_t i = knot; i < next; ++i)
            out[i] = value + (after - value) * static_cast<float>(i - knot) / static_cast<float>(next - knot);
        knot = next, value = after;
    }
    out.back() = value;
    return out;
}

/// Tones of an evenly sampled signal: averaged lines, summed within a width of max(resolution, share of the
/// place).
ToneSpectrum tones_of(std::span<const float> x, double density, std::size_t length, double share,
                      double floor_reach, double floor_share) {
    ToneSpectrum t;
    const auto s = signal::averaged_spectrum(x, density, length, length / 2);
    if (s.segments == 0) return t;
    t.step = s.step;
    const std::size_t n = s.density.size();
    std::vector<double> sum(n + 1, 0.0);
    for (std::size_t k = 0; k < n; ++k) sum[k + 1] = sum[k] + static_cast<double>(s.density[k]) * s.step;
    t.power.resize(n), t.width.resize(n);
    for (std::size_t k = 0; k < n; ++k) {
        const double place = static_cast<double>(k) * s.step;
        const auto half = static_cast<std::size_t>(std::max(1.0, std::round(0.5 * share * place / s.step)));
        const std::size_t a = k > half ? k - half : 0, b = std::min(n, k + half + 1);
        t.power[k] = static_cast<float>(sum[b] - sum[a]);
        t.width[k] = static_cast<float>(static_cast<double>(b - a) * s.step);
    }
    t.floor = local_median(t.power, [&](std::size_t k) {
        return static_cast<std::size_t>(std::max(floor_reach, floor_share * static_cast<double>(k) * s.step) /
                                        s.step);
    });
    return t;
}

/// Amplitude course of a band relative to its running mean over two seconds: gain and slow swells are taken
/// off, and the root keeps one loud clank from ruling the spectrum.
std::vector<float> relative_course(const std::vector<float>& power, double rate) {
    std::vector<float> a(power.size());
    for (std::size_t i = 0; i < a.size(); ++i) a[i] = std::sqrt(power[i]);
    const auto half = static_cast<std::size_t>(rate);
    std::vector<double> sum(a.size() + 1, 0.0);
    for (std::size_t i = 0; i < a.size(); ++i) sum[i + 1] = sum[i] + static_cast<double>(a[i]);
    std::vector<float> out(a.size());
    for (std::size_t i = 0; i < a.size(); ++i) {
        const std::size_t from = i > half ? i - half : 0, to = std::min(a.size(), i + half + 1);
        const double mean = (sum[to] - sum[from]) / static_cast<double>(to - from);
        out[i] =
            mean > 0.0 ? std::min(static_cast<float>(static_cast<double>(a[i]) / mean - 1.0), 6.0F) : 0.0F;
    }
    return out;
}

BeatSpectrum beat_spectrum(std::span<const float> course, double density, std::size_t length, double top,
                           double turns_or_seconds) {
    BeatSpectrum b;
    const auto s = signal::averaged_spectrum(course, density, length, length / 2);
    if (s.segments == 0) return b;
    b.step = s.step;
    const std::size_t n = std::min(s.density.size(), static_cast<std::size_t>(top / s.step) + 1);
    b.width = 3.0 * s.step;
    b.power.resize(n);
    for (std::size_t k = 0; k < n; ++k) {
        float p = s.density[k];
        if (k > 0) p += s.density[k - 1];
        if (k + 1 < s.density.size()) p += s.density[k + 1];
        b.power[k] = p * static_cast<float>(s.step);
    }
    // Narrow at slow beats: what comes and goes swells at random there, and must not look like a line.
    b.floor = local_median(b.power, [&](std::size_t k) {
        return static_cast<std::size_t>(
            std::max(0.2 * turns_or_seconds / s.step, 0.25 * static_cast<double>(k)));
    });
    return b;
}

std::vector<std::pair<double, double>> carrier_bands(double rate) {
    std::vector<std::pair<double, double>> bands;
    for (double low = 354.0; low * 1.4 < 0.45 * rate && low < 12000.0; low *= 2.0)
        bands.emplace_back(low, std::min(2.0 * low, 0.45 * rate));
    return bands;
}

void add_beats(Portrait& p, std::span<const float> x, const PortraitSettings& settings) {
    const double rate = p.rate.value();
    const auto bands = carrier_bands(rate);
    const auto length = signal::fast_size(even(envelope_window * rate));
    const auto hop = std::max<std::size_t>(4, static_cast<std::size_t>(envelope_hop * rate));
    const auto powers = signal::band_powers(x, rate, bands, length, hop);
    const double mean_turns = p.has_speed() ? p.speed.mean->value() / 60.0 : 0.0;
    for (std::size_t i = 0; i < bands.size(); ++i) {
        const auto& power = powers.band[i];
        if (power.size() < 64) continue;
        double mean = 0.0;
        for (const float v : power) mean += static_cast<double>(v) / static_cast<double>(power.size());
        const auto course = relative_course(power, powers.rate);
        const auto finish = [&](BeatSpectrum b, std::vector<BeatSpectrum>& to) {
            b.low = Hertz{bands[i].first}, b.high = Hertz{bands[i].second};
            b.power_mean = mean;
            if (!b.power.empty()) to.push_back(std::move(b));
        };
        const auto hz_length = std::min(course.size() & ~std::size_t{1}, even(4.0 * powers.rate));
        finish(beat_spectrum(course, powers.rate, hz_length, 200.0, 13.0), p.beats_hz);
        if (p.has_speed()) {
            auto track = p.speed.track;
            for (auto& t : track.at) t -= Seconds{powers.first};
            const double per_turn = std::ceil(1.2 * powers.rate / mean_turns);
            const auto turned = against_angle(course, SampleRate{powers.rate}, track, per_turn);
            const double turns = static_cast<double>(turned.size()) / per_turn;
            const double block = std::min(settings.beat_block_turns, std::max(4.0, std::floor(turns / 1.5)));
            const auto n = std::min(turned.size() & ~std::size_t{1}, even(block * per_turn));
            finish(beat_spectrum(turned, per_turn, n, std::min(40.0, 0.4 * powers.rate / mean_turns), 1.0),
                   p.beats);
        }
        // Levels through time, for presence.
        const auto per_value = std::max<std::size_t>(1, static_cast<std::size_t>(series_step * powers.rate));
        std::vector<float> series;
        for (std::size_t j = 0; j + per_value <= power.size(); j += per_value) {
            double sum = 1e-20;
            for (std::size_t k = 0; k < per_value; ++k) sum += static_cast<double>(power[j + k]);
            series.push_back(static_cast<float>(10.0 * std::log10(sum / static_cast<double>(per_value))));
        }
        p.series_rate = powers.rate / static_cast<double>(per_value);
        p.series_bands.emplace_back(Hertz{bands[i].first}, Hertz{bands[i].second});
        p.series.push_back(std::move(series));
    }
}

}  // namespace

Portrait portrait_of(std::span<const float> x, SampleRate rate, const SpeedReading& speed,
                     const PortraitSettings& settings) {
    Portrait p;
    p.rate = rate;
    p.duration = Seconds{static_cast<double>(x.size()) / rate.value()};
    p.speed = speed;
    p.hz_low = Hertz{20}, p.hz_high = Hertz{0.45 * rate.value()};
    p.hz = hz_spectrum(x, rate);
    const double low_rate = std::min(tone_rate, rate.value());
    const auto low = signal::decimated(x, rate.value(), low_rate);
    const auto hz_length = std::min(low.size() & ~std::size_t{1}, even(tone_hz_block * low_rate));
    p.tones_hz = tones_of(low, low_rate, hz_length, 0.004, 25.0, 0.05);
    if (speed.mean && !speed.track.empty()) {
        const double turns_per_s = speed.mean->value() / 60.0;
        const double per_turn =
            std::ceil(1.05 * low_rate / (speed.low.value() > 0 ? speed.low.value() / 60.0 : turns_per_s));
        const auto turned = against_angle(low, SampleRate{low_rate}, speed.track, per_turn);
        const double turns = static_cast<double>(turned.size()) / per_turn;
        const double block = std::min(settings.lines_per_turn_block, std::max(4.0, std::floor(turns / 1.5)));
        const auto n = std::min(turned.size() & ~std::size_t{1}, even(block * per_turn));
        p.tones_ratio = tones_of(turned, per_turn, n, 0.0015, 1.6, 0.05);
        const auto top =
            static_cast<std::size_t>(0.42 * low_rate / turns_per_s / std::max(1e-9, p.tones_ratio.step));
        if (p.tones_ratio.power.size() > top) {
            p.tones_ratio.power.resize(top), p.tones_ratio.floor.resize(top), p.tones_ratio.width.resize(top);
        }
        double var = 0.0;
        for (const auto r : speed.track.rpm) var += (r / *speed.mean - 1.0) * (r / *speed.mean - 1.0);
        p.rpm_spread = std::sqrt(var / static_cast<double>(speed.track.rpm.size()));
    }
    add_beats(p, x, settings);
    return p;
}

}  // namespace cranknote
