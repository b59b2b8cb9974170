#include "speed/coarse.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <span>

namespace cranknote::speed_detail {

namespace {

constexpr double grid_step = 0.0025;  // relative; half a line's width at the highest line used
constexpr double sound_top = 330.0;   // Hz; above it a wandering idle smears a frame's lines
constexpr double envelope_top = 110.0;

/// Lines standing out of one frame of one stream, and how to find a frequency among them.
struct Lines {
    double step = 1.0;
    std::vector<float> y;
    [[nodiscard]] float at(double f) const {
        const double p = f / step;
        const auto i = static_cast<std::size_t>(p);
        if (i + 1 >= y.size()) return 0.0F;
        const auto w = static_cast<float>(p - static_cast<double>(i));
        return y[i] + w * (y[i + 1] - y[i]);
    }
};

/// Mains hum and its multiples meet real engine lines: where they would lie, nothing is counted.
void mask_mains(Lines& l, double width) {
    for (const double mains : {50.0, 60.0})
        for (int m = 1; m <= 8; ++m) {
            const double f = mains * m;
            const auto a = static_cast<std::size_t>(std::max(0.0, std::ceil((f - width) / l.step)));
            const auto b = static_cast<std::size_t>(std::max(0.0, std::floor((f + width) / l.step)));
            for (std::size_t i = a; i <= b && i < l.y.size(); ++i) l.y[i] = std::min(l.y[i], 0.6F);
        }
}

struct FrameLines {
    Lines sound, envelope;
};

std::vector<FrameLines> frames_of(const Evidence& e, const CoarseSettings& s, std::vector<Seconds>& at) {
    const double duration = e.duration.value();
    const double frame = std::min(s.frame.value(), duration);
    const auto count = static_cast<std::size_t>(std::floor((duration - frame) / s.hop.value() + 1e-9)) + 1;
    std::vector<FrameLines> out(count);
    at.resize(count);
    const auto make = [&](const Stream& stream) {
        return LineSpectrum(static_cast<std::size_t>(frame * stream.rate.value()), 2);
    };
    LineSpectrum sound = make(e.sound);
    std::vector<float> power;
    const auto lines_of = [&](const Stream& stream, LineSpectrum& spectrum, double start, double reach_hz) {
        Lines l;
        l.step = stream.rate.value() / static_cast<double>(spectrum.padded());
        const double first = std::max(0.0, (start - stream.first.value()) * stream.rate.value());
        const auto a = std::min(static_cast<std::size_t>(first), stream.samples.size());
        const auto n = std::min(spectrum.length(), stream.samples.size() - a);
        spectrum.power(std::span<const float>(stream.samples).subspan(a, n), power);
        power.resize(std::min(power.size(), static_cast<std::size_t>(1.1 * stream.high.value() / l.step)));
        l.y = standing_out(power, static_cast<std::size_t>(reach_hz / l.step));
        const auto below = static_cast<std::size_t>(stream.low.value() / l.step);
        std::fill(l.y.begin(), l.y.begin() + static_cast<std::ptrdiff_t>(std::min(below, l.y.size())), 0.0F);
        return l;
    };
    for (std::size_t i = 0; i < count; ++i) {
        const double start = static_cast<double>(i) * s.hop.value();
        at[i] = Seconds{start + frame / 2};
        out[i].sound = lines_of(e.sound, sound, start, 22.0);
        mask_mains(out[i].sound, 0.5 + 0.5 / frame);
    }
    if (!e.envelopes.empty()) {
        LineSpectrum envelope = make(e.envelopes.front());
        for (std::size_t i = 0; i < count; ++i) {
            const double start = static_cast<double>(i) * s.hop.value();
            for (const auto& stream : e.envelopes) {
                auto l = lines_of(stream, envelope, start, 18.0);
                mask_mains(l, 0.5 + 0.5 / frame);  // the hum of a lamp-lit compressor swells too
                auto& sum = out[i].envelope;
                if (sum.y.empty()) {
                    sum = std::move(l);
                } else {
                    for (std::size_t k = 0; k < std::min(sum.y.size(), l.y.size()); ++k) sum.y[k] += l.y[k];
                }
            }
            for (auto& v : out[i].envelope.y) v /= static_cast<float>(e.envelopes.size());
        }
    }
    return out;
}

struct Comb {
    double sum = 0.0;
    int lines = 0;
    [[nodiscard]] double mean() const { return lines > 0 ? sum / lines : 0.0; }
};

Comb comb(const Lines& l, double c, double low, double top, double shift) {
    Comb r;
    for (double k = std::max(1.0, std::ceil(low / c)) + shift; k * c <= top; k += 1.0) {
        r.sum += static_cast<double>(l.at(k * c));
        ++r.lines;
    }
    return r;
}

/// Mean on the comb less mean half way between, weighed by the root of how many lines there are (their
/// scatter).
double contrast(const Lines& l, double c, double low, double top) {
    if (l.y.empty()) return 0.0;
    const Comb on = comb(l, c, low, top, 0.0), between = comb(l, c, low, top, 0.5);
    if (on.lines == 0 || between.lines == 0) return 0.0;
    return (on.mean() - between.mean()) * std::sqrt(static_cast<double>(std::min(on.lines, 40)));
}

}  // namespace

Course coarse_course(const Evidence& e, Hertz lowest, Hertz highest, const CoarseSettings& s) {
    Course course;
    if (e.duration.value() < s.frame.value() / 3) return course;
    std::vector<Seconds> at;
    const auto frames = frames_of(e, s, at);
    const auto states = static_cast<std::size_t>(std::log(highest / lowest) / grid_step) + 1;
    std::vector<double> c(states);
    for (std::size_t i = 0; i < states; ++i)
        c[i] = lowest.value() * std::exp(grid_step * static_cast<double>(i));

    // Cost of changing by d grid steps from frame to frame: quadratic, so that steady speed is preferred but
    // a step is possible.
    const auto reach = static_cast<std::size_t>(std::max(2.0, s.steepest * s.hop.value() / grid_step));
    const double soft = 0.35 / static_cast<double>(reach * reach);
    std::vector<std::vector<std::uint32_t>> from(frames.size(), std::vector<std::uint32_t>(states));
    std::vector<double> best(states, 0.0), previous(states, 0.0);
    for (std::size_t f = 0; f < frames.size(); ++f) {
        previous.swap(best);
        for (std::size_t i = 0; i < states; ++i) {
            const double score = contrast(frames[f].sound, c[i], 18.0, sound_top) +
                                 contrast(frames[f].envelope, c[i], 2.4, envelope_top);
            double top = f == 0 ? 0.0 : -1e30;
            std::size_t source = i;
            if (f > 0)
                for (std::size_t j = i > reach ? i - reach : 0; j <= std::min(states - 1, i + reach); ++j) {
                    const double d = static_cast<double>(i) - static_cast<double>(j);
                    const double v = previous[j] - 6.0 * soft * d * d;
                    if (v > top) top = v, source = j;
                }
            best[i] = top + score;
            from[f][i] = static_cast<std::uint32_t>(source);
        }
    }
    auto state = static_cast<std::size_t>(std::max_element(best.begin(), best.end()) - best.begin());
    course.strength = best[state] / static_cast<double>(frames.size());
    course.at = at;
    course.cycle.resize(frames.size());
    for (std::size_t f = frames.size(); f-- > 0;) {
        course.cycle[f] = Hertz{c[state]};
        state = from[f][state];
    }
    return course;
}

}  // namespace cranknote::speed_detail
