#include "speed/coarse.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <span>

namespace cranknote::speed_detail {

namespace {

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

/// A frame's samples at moments that run as fast as the crank does there: u + bend u^2 / 2 around the middle
/// is even in phase. Cubic between samples (Lagrange), which is exact enough for lines below a quarter of the
/// rate.
class BentTime {
  public:
    BentTime(double bend, std::size_t length, double rate) : place_(length) {
        for (std::size_t j = 0; j < length; ++j) {
            const double phase = (static_cast<double>(j) - 0.5 * static_cast<double>(length)) / rate;
            const double root = std::sqrt(std::max(0.05, 1.0 + 2.0 * bend * phase));
            const double at = 2.0 * phase / (1.0 + root) * rate + 0.5 * static_cast<double>(length);
            const double whole = std::floor(at), t = at - whole;
            place_[j] = {static_cast<std::ptrdiff_t>(whole) - 1,
                         {static_cast<float>(-t * (t - 1.0) * (t - 2.0) / 6.0),
                          static_cast<float>((t + 1.0) * (t - 1.0) * (t - 2.0) / 2.0),
                          static_cast<float>(-(t + 1.0) * t * (t - 2.0) / 2.0),
                          static_cast<float>((t + 1.0) * t * (t - 1.0) / 6.0)}};
        }
    }
    void read(std::span<const float> x, std::size_t first, std::vector<float>& out) const {
        const auto last = static_cast<std::ptrdiff_t>(x.size()) - 4;
        out.resize(place_.size());
        for (std::size_t j = 0; j < place_.size(); ++j) {
            const auto& p = place_[j];
            const auto i = static_cast<std::ptrdiff_t>(first) + p.from;
            if (i < 0 || i > last) {
                out[j] = 0.0F;
                continue;
            }
            const float* v = x.data() + i;
            out[j] = p.weight[0] * v[0] + p.weight[1] * v[1] + p.weight[2] * v[2] + p.weight[3] * v[3];
        }
    }

  private:
    struct Place {
        std::ptrdiff_t from;
        std::array<float, 4> weight;
    };
    std::vector<Place> place_;
};

/// All envelopes as one: ticks stand in all bands at once.
Stream together(const std::vector<Stream>& envelopes) {
    Stream sum = envelopes.front();
    for (std::size_t k = 1; k < envelopes.size(); ++k)
        for (std::size_t i = 0; i < std::min(sum.samples.size(), envelopes[k].samples.size()); ++i)
            sum.samples[i] += envelopes[k].samples[i];
    return sum;
}

/// Cuts frames out of the streams and finds their lines.
class Frames {
  public:
    Frames(const Evidence& e, const CoarseSettings& s)
        : e_(e),
          rate_(e.bass.rate.value()),
          length_(static_cast<std::size_t>(std::min(s.frame.value(), e.duration.value()) * rate_)),
          hop_(s.hop.value()),
          bent_(s.bends.size() > 1),
          spectrum_(length_, power_of_two(bent_ ? length_ : length_ + length_ / 2)) {
        const double frame = static_cast<double>(length_) / rate_;
        count_ = static_cast<std::size_t>(std::max(0.0, (e.duration.value() - frame) / hop_ + 1e-9)) + 1;
        if (!bent_) return;
        for (const double b : s.bends) times_.emplace_back(b, length_, rate_);
        if (!e.envelopes.empty()) together_.push_back(together(e.envelopes));
    }
    [[nodiscard]] std::size_t count() const { return count_; }
    [[nodiscard]] Seconds middle(std::size_t i) const {
        return Seconds{static_cast<double>(i) * hop_ + 0.5 * static_cast<double>(length_) / rate_};
    }
    /// Of frame i, time bent by the bend of that number.
    Lines bass(std::size_t i, std::size_t bend) { return lines(std::span(&e_.bass, 1), i, bend, 22.0); }
    Lines envelope(std::size_t i, std::size_t bend) {
        return lines(bent_ ? together_ : e_.envelopes, i, bend, 18.0);
    }

  private:
    static std::size_t power_of_two(std::size_t n) {
        std::size_t p = 64;
        while (p < n) p *= 2;
        return p;
    }

    std::span<const float> piece(const Stream& s, std::size_t i, std::size_t bend) {
        const auto first = static_cast<std::size_t>(static_cast<double>(i) * hop_ * rate_);
        const std::size_t a = std::min(first, s.samples.size());
        if (!bent_)
            return std::span<const float>(s.samples).subspan(a, std::min(length_, s.samples.size() - a));
        times_[bend].read(s.samples, a, bent_piece_);
        return bent_piece_;
    }

    Lines lines(std::span<const Stream> streams, std::size_t i, std::size_t bend, double reach_hz) {
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
    bool bent_;
    std::size_t count_ = 0;
    LineSpectrum spectrum_;
    std::vector<BentTime> times_;
    std::vector<Stream> together_;
    std::vector<float> power_, bent_piece_;
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
        reach_ = static_cast<std::ptrdiff_t>(std::max(2.0, s.steepest * s.hop.value() / s.grid_step));
        for (std::ptrdiff_t d = -reach_; d <= reach_; ++d) {
            const double part = static_cast<double>(d) / static_cast<double>(reach_);
            cost_.push_back(static_cast<float>(2.1 * part * part));  // steady is preferred, a step possible
        }
        for (const double b : bends_)
            shift_.push_back(static_cast<std::ptrdiff_t>(std::lround(b * s.hop.value() / s.grid_step)));
        best_.assign(states_ * bends_.size(), 0.0F);
    }
    void take(const std::vector<float>& score) {
        const std::vector<float> before = best_;
        auto& from = from_.emplace_back(best_.size());
        scores_.push_back(score);
        const bool first = from_.size() == 1;
        for (std::size_t b = 0; b < bends_.size(); ++b)
            for (std::size_t i = 0; i < states_; ++i) {
                const std::size_t here = b * states_ + i;
                from[here] = static_cast<std::uint32_t>(first ? here : best_source(before, b, i));
                best_[here] = score[here] + value_;
                if (first) best_[here] = score[here];
            }
    }
    struct Place {
        std::size_t frequency;
        float score;
    };
    /// The best path, frequencies as grid indices, last frame first.
    [[nodiscard]] std::vector<Place> path() const {
        std::vector<Place> p;
        auto state = static_cast<std::size_t>(std::max_element(best_.begin(), best_.end()) - best_.begin());
        for (std::size_t f = from_.size(); f-- > 0;) {
            p.push_back({state % states_, scores_[f][state]});
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
        for (std::size_t c = b > 1 ? b - 2 : 0; c < std::min(b + 3, bends_.size()); ++c) {
            const float bend_cost = 0.3F * static_cast<float>(c > b ? c - b : b - c);
            const std::ptrdiff_t middle = static_cast<std::ptrdiff_t>(i) - (shift_[b] + shift_[c]) / 2;
            const std::ptrdiff_t first = std::max(-reach_, -middle), last = std::min(reach_, n - 1 - middle);
            const float* from = before.data() + c * states_;
            for (std::ptrdiff_t d = first; d <= last; ++d) {
                const float v = from[middle + d] - cost_[static_cast<std::size_t>(d + reach_)] - bend_cost;
                if (v > value_) value_ = v, source = c * states_ + static_cast<std::size_t>(middle + d);
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
    std::vector<std::vector<float>> scores_;
    float value_ = 0.0F;
};

}  // namespace

CoarseSettings steady_frames() { return {}; }

CoarseSettings bent_frames() {
    CoarseSettings s{Seconds{0.6}, Seconds{0.2}, 0.005, Hertz{200.0}, {}, 0.08};
    for (int i = -5; i <= 5; ++i) s.bends.push_back(0.1 * i);
    return s;
}

Course coarse_course(const Evidence& e, Hertz lowest, Hertz highest, const CoarseSettings& s) {
    Course course;
    if (e.duration.value() < s.frame.value() / 3 || e.bass.samples.size() < 64) return course;
    Frames frames(e, s);
    const auto states = static_cast<std::size_t>(std::log(highest / lowest) / s.grid_step) + 1;
    std::vector<double> c(states);
    for (std::size_t i = 0; i < states; ++i)
        c[i] = lowest.value() * std::exp(s.grid_step * static_cast<double>(i));
    const double top = std::min(s.bass_top, e.bass.high).value();
    Steps steps(states, s);
    std::vector<float> score(states * s.bends.size());
    for (std::size_t f = 0; f < frames.count(); ++f) {
        for (std::size_t b = 0; b < s.bends.size(); ++b) {
            const auto bass = frames.bass(f, b), envelope = frames.envelope(f, b);
            for (std::size_t i = 0; i < states; ++i)
                score[b * states + i] =
                    contrast(bass, c[i], 18.0, top) + contrast(envelope, c[i], 2.4, envelope_top);
        }
        steps.take(score);
    }
    course.strength = steps.best() / static_cast<double>(frames.count());
    const auto path = steps.path();
    for (std::size_t f = 0; f < frames.count(); ++f) {
        const auto& place = path[frames.count() - 1 - f];
        course.at.push_back(frames.middle(f));
        course.cycle.push_back(Hertz{c[place.frequency]});
        course.score.push_back(place.score);
    }
    return course;
}

}  // namespace cranknote::speed_detail
