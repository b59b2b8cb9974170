#include "speed/coarse.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <span>

#include "signal/resample.hpp"

namespace cranknote::speed_detail {

namespace {

constexpr double grid_step = 0.0025;  // relative; a line's width at the highest line used
constexpr double envelope_top = 110.0;
constexpr float ceiling = 4.0F;  // a line 17 dB above its floor counts as much as a stronger one

/// Lines standing out of one frame, and how to find a frequency among them.
struct Lines {
    double step = 1.0;
    std::vector<float> y;
};

/// Mains hum and its multiples meet real engine lines: where they would lie, little is counted.
void mask_mains(Lines& l, double width) {
    for (const double mains : {50.0, 60.0})
        for (int m = 1; m <= 8; ++m) {
            const double f = mains * m;
            const auto a = static_cast<std::size_t>(std::max(0.0, std::ceil((f - width) / l.step)));
            const auto b = static_cast<std::size_t>(std::max(0.0, std::floor((f + width) / l.step)));
            for (std::size_t i = a; i <= b && i < l.y.size(); ++i) l.y[i] = std::min(l.y[i], 0.6F);
        }
}

/// Cuts frames out of the streams and finds their lines.
class Frames {
  public:
    Frames(const Evidence& e, const CoarseSettings& s)
        : e_(e),
          rate_(e.bass.rate.value()),
          length_(static_cast<std::size_t>(std::min(s.frame.value(), e.duration.value()) * rate_)),
          hop_(s.hop.value()),
          spectrum_(length_, power_of_two(length_ + length_ / 2)) {
        const double frame = static_cast<double>(length_) / rate_;
        count_ = static_cast<std::size_t>(std::max(0.0, (e.duration.value() - frame) / hop_ + 1e-9)) + 1;
    }
    [[nodiscard]] std::size_t count() const { return count_; }
    [[nodiscard]] Seconds middle(std::size_t i) const {
        return Seconds{static_cast<double>(i) * hop_ + 0.5 * static_cast<double>(length_) / rate_};
    }
    Lines bass(std::size_t i, double bend) { return lines(std::span(&e_.bass, 1), i, bend, 22.0); }
    Lines envelope(std::size_t i, double bend) { return lines(e_.envelopes, i, bend, 18.0); }

  private:
    static std::size_t power_of_two(std::size_t n) {
        std::size_t p = 64;
        while (p < n) p *= 2;
        return p;
    }

    std::span<const float> piece(const Stream& s, std::size_t i, double bend) {
        const auto first = static_cast<std::size_t>(static_cast<double>(i) * hop_ * rate_);
        const std::size_t a = std::min(first, s.samples.size());
        if (bend == 0.0)
            return std::span<const float>(s.samples).subspan(a, std::min(length_, s.samples.size() - a));
        // Time that runs as fast as the crank does there: u + bend u^2 / 2 around the middle is even in
        // phase.
        bent_.resize(length_);
        for (std::size_t j = 0; j < length_; ++j) {
            const double phase = (static_cast<double>(j) - 0.5 * static_cast<double>(length_)) / rate_;
            const double root = std::sqrt(std::max(0.05, 1.0 + 2.0 * bend * phase));
            const double u = 2.0 * phase / (1.0 + root);
            bent_[j] = signal::full_band_interpolator().at(
                s.samples, static_cast<double>(a) + 0.5 * static_cast<double>(length_) + u * rate_);
        }
        return bent_;
    }

    Lines lines(std::span<const Stream> streams, std::size_t i, double bend, double reach_hz) {
        Lines l;
        if (streams.empty()) return l;
        l.step = rate_ / static_cast<double>(spectrum_.padded());
        power_.assign(static_cast<std::size_t>(1.05 * streams.front().high.value() / l.step), 0.0F);
        for (const auto& s : streams) spectrum_.add_power(piece(s, i, bend), 1.0F, power_);
        l.y = standing_out(power_, static_cast<std::size_t>(reach_hz / l.step),
                           std::max<std::size_t>(1, spectrum_.padded() / length_), ceiling);
        const auto below = static_cast<std::size_t>(streams.front().low.value() / l.step);
        std::fill_n(l.y.begin(), std::min(below, l.y.size()), 0.0F);
        mask_mains(l, 0.5 + 0.5 * rate_ / static_cast<double>(length_));
        return l;
    }

    const Evidence& e_;
    double rate_;
    std::size_t length_;
    double hop_;
    std::size_t count_ = 0;
    LineSpectrum spectrum_;
    std::vector<float> power_, bent_;
};

/// Mean on the comb less mean half way between, weighed by the root of how many lines there are (their
/// scatter).
float contrast(const Lines& l, double c, double low, double top) {
    const double spacing = c / l.step;
    const double last = std::min(top / l.step, static_cast<double>(l.y.size()) - 0.5 * spacing - 2.0);
    const double first = std::max(1.0, std::ceil(low / c));
    float on = 0.0F, between = 0.0F;
    int count = 0;
    for (double p = first * spacing + 0.5; p <= last; p += spacing, ++count) {
        on += l.y[static_cast<std::size_t>(p)];
        between += l.y[static_cast<std::size_t>(p + 0.5 * spacing)];
    }
    return count > 0 ? (on - between) / std::sqrt(static_cast<float>(count)) : 0.0F;
}

/// One step of the dynamic programme: where each state (bend, frequency) is best reached from.
class Steps {
  public:
    Steps(std::size_t states, const CoarseSettings& s) : states_(states), bends_(s.bends) {
        reach_ = static_cast<std::ptrdiff_t>(std::max(2.0, s.steepest * s.hop.value() / grid_step));
        for (std::ptrdiff_t d = -reach_; d <= reach_; ++d) {
            const double part = static_cast<double>(d) / static_cast<double>(reach_);
            cost_.push_back(static_cast<float>(2.1 * part * part));  // steady is preferred, a step possible
        }
        for (const double b : bends_)
            shift_.push_back(static_cast<std::ptrdiff_t>(std::lround(b * s.hop.value() / grid_step)));
        best_.assign(states_ * bends_.size(), 0.0F);
    }
    void take(const std::vector<float>& score) {
        const std::vector<float> before = best_;
        auto& from = from_.emplace_back(best_.size());
        const bool first = from_.size() == 1;
        for (std::size_t b = 0; b < bends_.size(); ++b)
            for (std::size_t i = 0; i < states_; ++i) {
                const std::size_t here = b * states_ + i;
                from[here] = static_cast<std::uint32_t>(first ? here : best_source(before, b, i));
                best_[here] = score[here] + value_;
                if (first) best_[here] = score[here];
            }
    }
    /// The best path, frequencies as grid indices, last frame first.
    [[nodiscard]] std::vector<std::size_t> path() const {
        std::vector<std::size_t> p;
        auto state = static_cast<std::size_t>(std::max_element(best_.begin(), best_.end()) - best_.begin());
        for (std::size_t f = from_.size(); f-- > 0;) {
            p.push_back(state % states_);
            state = from_[f][state];
        }
        return p;
    }
    [[nodiscard]] double best() const {
        return static_cast<double>(*std::max_element(best_.begin(), best_.end()));
    }

  private:
    std::size_t best_source(const std::vector<float>& before, std::size_t b, std::size_t i) {
        value_ = -1e30F;
        std::size_t source = b * states_ + i;
        const auto n = static_cast<std::ptrdiff_t>(states_);
        for (std::size_t c = b > 0 ? b - 1 : 0; c <= std::min(b + 1, bends_.size() - 1); ++c) {
            const float bend_cost = c == b ? 0.0F : 0.3F;
            const std::ptrdiff_t middle = static_cast<std::ptrdiff_t>(i) - (shift_[b] + shift_[c]) / 2;
            for (std::ptrdiff_t d = -reach_; d <= reach_; ++d) {
                const std::ptrdiff_t j = middle + d;
                if (j < 0 || j >= n) continue;
                const std::size_t k = c * states_ + static_cast<std::size_t>(j);
                const float v = before[k] - cost_[static_cast<std::size_t>(d + reach_)] - bend_cost;
                if (v > value_) value_ = v, source = k;
            }
        }
        if (value_ < -1e29F) value_ = before[source] - 10.0F;
        return source;
    }

    std::size_t states_;
    std::vector<double> bends_;
    std::ptrdiff_t reach_;
    std::vector<float> cost_, best_;
    std::vector<std::ptrdiff_t> shift_;
    std::vector<std::vector<std::uint32_t>> from_;
    float value_ = 0.0F;
};

}  // namespace

CoarseSettings steady_frames() { return {}; }

CoarseSettings bent_frames() {
    CoarseSettings s{Seconds{0.6}, Seconds{0.15}, {}, 0.08};
    for (int i = -9; i <= 9; ++i) s.bends.push_back(0.045 * i);
    return s;
}

Course coarse_course(const Evidence& e, Hertz lowest, Hertz highest, const CoarseSettings& s) {
    Course course;
    if (e.duration.value() < s.frame.value() / 3 || e.bass.samples.size() < 64) return course;
    Frames frames(e, s);
    const auto states = static_cast<std::size_t>(std::log(highest / lowest) / grid_step) + 1;
    std::vector<double> c(states);
    for (std::size_t i = 0; i < states; ++i)
        c[i] = lowest.value() * std::exp(grid_step * static_cast<double>(i));
    Steps steps(states, s);
    std::vector<float> score(states * s.bends.size());
    for (std::size_t f = 0; f < frames.count(); ++f) {
        for (std::size_t b = 0; b < s.bends.size(); ++b) {
            const auto bass = frames.bass(f, s.bends[b]), envelope = frames.envelope(f, s.bends[b]);
            for (std::size_t i = 0; i < states; ++i)
                score[b * states + i] = contrast(bass, c[i], 18.0, e.bass.high.value()) +
                                        contrast(envelope, c[i], 2.4, envelope_top);
        }
        steps.take(score);
    }
    course.strength = steps.best() / static_cast<double>(frames.count());
    const auto path = steps.path();
    for (std::size_t f = 0; f < frames.count(); ++f) {
        course.at.push_back(frames.middle(f));
        course.cycle.push_back(Hertz{c[path[frames.count() - 1 - f]]});
    }
    return course;
}

}  // namespace cranknote::speed_detail
