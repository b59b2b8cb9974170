// Half speed without a change of pitch. Ticks are played once, at twice their moment; what lies between them
// is drawn out. (Drawing out everything alike would play every tick twice: half speed repeats each piece.)
#include <algorithm>
#include <cmath>
#include <numbers>

#include "audio/audition.hpp"

namespace cranknote {
namespace {

using Place = std::ptrdiff_t;  // a sample of the input or of the output

constexpr double frame_s = 0.030;        // a seam every 15 ms; whole periods down to 70 Hz
constexpr double search_s = 0.012;       // how far a frame may be moved to fit
constexpr double tick_factor = 8;        // energy of a tick's millisecond over the median around it
constexpr double before_s = 0.002;       // of a tick that is kept with it
constexpr double after_s = 0.006;        // what rings after it
constexpr double shortest_gap_s = 0.02;  // ticks closer than this stay together
constexpr double longest_tick_s = 0.05;  // what lasts longer is no tick

struct Tick {
    Place first, last;  // the stretch to keep as it is
    Place peak;
};

/// Energy of the differences, a millisecond each: ticks are bright.
std::vector<double> bright_energy(std::span<const float> x, std::size_t step) {
    std::vector<double> energy(x.size() / step + 1, 0.0);
    for (std::size_t i = 1; i < x.size(); ++i) {
        const double d = static_cast<double>(x[i]) - static_cast<double>(x[i - 1]);
        energy[i / step] += d * d;
    }
    return energy;
}

double median_around(const std::vector<double>& v, std::size_t at, std::size_t reach) {
    const auto from = at > reach ? at - reach : 0;
    const auto to = std::min(v.size(), at + reach + 1);
    std::vector<double> part(v.begin() + static_cast<Place>(from), v.begin() + static_cast<Place>(to));
    const auto middle = part.begin() + static_cast<Place>(part.size() / 2);
    std::nth_element(part.begin(), middle, part.end());
    return *middle;
}

std::vector<Tick> ticks_of(std::span<const float> x, SampleRate rate) {
    const auto step = std::max<std::size_t>(1, static_cast<std::size_t>(rate.value() / 1000));
    const auto samples = [&](double s) { return static_cast<Place>(s * rate.value()); };
    const auto energy = bright_energy(x, step);
    std::vector<Tick> ticks;
    double typical = 0, highest = 0;
    for (std::size_t i = 0; i < energy.size(); ++i) {
        if (i % 20 == 0) typical = median_around(energy, i, 150);
        if (energy[i] <= tick_factor * typical || energy[i] < 1e-12) continue;
        const auto at = static_cast<Place>(i * step);
        const Tick tick{std::max<Place>(0, at - samples(before_s)),
                        std::min(static_cast<Place>(x.size()), at + samples(after_s)), at};
        if (!ticks.empty() && tick.first < ticks.back().last + samples(shortest_gap_s)) {
            ticks.back().last = tick.last;
            if (energy[i] > highest) ticks.back().peak = at;
            highest = std::max(highest, energy[i]);
        } else {
            ticks.push_back(tick);
            highest = energy[i];
        }
    }
    std::erase_if(ticks, [&](const Tick& t) { return t.last - t.first > samples(longest_tick_s); });
    return ticks;
}

float sample(std::span<const float> x, Place i) {
    return i >= 0 && i < static_cast<Place>(x.size()) ? x[static_cast<std::size_t>(i)] : 0.0F;
}

/// Likeness of two stretches, -1 to 1; every second sample is enough to choose by.
double likeness(std::span<const float> x, Place a, Place b, Place n) {
    double ab = 0, aa = 1e-12, bb = 1e-12;
    for (Place i = 0; i < n; i += 2) {
        const double u = sample(x, a + i), v = sample(x, b + i);
        ab += u * v;
        aa += u * u;
        bb += v * v;
    }
    return ab / std::sqrt(aa * bb);
}

/// 0 to 1 over n steps, without a corner.
float rise(Place i, Place n) {
    return static_cast<float>(
        0.5 - 0.5 * std::cos(std::numbers::pi * (static_cast<double>(i) + 0.5) / static_cast<double>(n)));
}

/// Input [a, b) drawn out to output [out_a, out_b).
struct Gap {
    Place a, b, out_a, out_b;
};

void draw_out(std::span<const float> x, SampleRate rate, const Gap& g, std::vector<float>& out) {
    const auto half = std::max<Place>(8, std::lround(frame_s * rate.value() / 2));
    const auto search = std::lround(search_s * rate.value());
    const double pace =
        static_cast<double>(g.b - g.a) / static_cast<double>(std::max<Place>(1, g.out_b - g.out_a));
    const Place highest = std::max(g.a, g.b - 2 * half);  // a frame must not run into the next tick
    Place next = g.a;                                     // what would follow if nothing was repeated
    for (Place at = g.out_a; at < g.out_b; at += half) {
        const auto wanted = g.a + static_cast<Place>(pace * static_cast<double>(at - g.out_a));
        Place best = next;
        double most = -2;
        const auto consider = [&](Place place) {
            const double alike = likeness(x, next, place, half);
            if (alike > most) {
                most = alike;
                best = place;
            }
        };
        const auto low = std::clamp(wanted - search, g.a, highest),
                   high = std::clamp(wanted + search, g.a, highest);
        if (at > g.out_a || next > high) {
            for (Place p = low; p <= high; p += 4) consider(p);
            const Place coarse = best;
            for (Place p = std::max(low, coarse - 3); p <= std::min(high, coarse + 3); ++p) consider(p);
        }
        for (Place i = 0; i < half && at + i < g.out_b; ++i) {
            const float w = rise(i, half);
            out[static_cast<std::size_t>(at + i)] = (1 - w) * sample(x, next + i) + w * sample(x, best + i);
        }
        next = best + half;
    }
    const auto fade = std::min(half, g.out_b - g.out_a);
    for (Place i = 0; i < fade; ++i) {  // over to what comes right before the tick
        auto& y = out[static_cast<std::size_t>(g.out_b - fade + i)];
        const float w = rise(i, fade);
        y = (1 - w) * y + w * sample(x, g.b - fade + i);
    }
}

}  // namespace

std::vector<float> half_speed(std::span<const float> x, SampleRate rate) {
    const auto length = static_cast<Place>(x.size());
    std::vector<float> out(2 * x.size(), 0.0F);
    Place in = 0, done = 0;
    for (const auto& t : ticks_of(x, rate)) {
        const Place place = std::max(done, 2 * t.peak - (t.peak - t.first));
        draw_out(x, rate, {in, t.first, done, place}, out);
        const auto n = std::min(t.last - t.first, 2 * length - place);
        std::copy_n(x.begin() + t.first, n, out.begin() + place);
        in = t.last;
        done = place + n;
    }
    draw_out(x, rate, {in, length, done, 2 * length}, out);
    return out;
}

}  // namespace cranknote
