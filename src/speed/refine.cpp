#include "speed/refine.hpp"

#include <algorithm>
#include <cmath>

#include "speed/angle.hpp"

namespace cranknote::speed_detail {

namespace {

struct Pass {
    double sound_top, envelope_top;  // Hz
    double reach;                    // largest correction, relative
    double piece;                    // s
};
// Each pass's reach is what the one before may have left; the last pieces are short enough to follow a 1 Hz
// wander.
constexpr Pass passes[] = {{330, 110, 0.010, 1.0}, {600, 160, 0.006, 0.7}, {1050, 240, 0.004, 0.55}};
constexpr int half_grid = 20;

/// A cycle course as a track whose "crank turns" are cycles.
SpeedTrack as_track(const Course& c) {
    SpeedTrack t;
    t.at = c.at;
    for (const auto f : c.cycle) t.rpm.push_back(rpm_of_turns(f));
    return t;
}

double mean_cycle(const Course& c) {
    double sum = 0.0;
    for (const auto f : c.cycle) sum += f.value();
    return sum / static_cast<double>(c.cycle.size());
}

/// scores[piece][grid]: how far the comb stands out at each correction.
struct Scores {
    std::vector<double> at_cycles;  // middle of each piece, in cycles since the start of the sound
    std::vector<std::vector<double>> value;
};

void add_stream(const Stream& s, const Course& course, const Pass& pass, double top, double piece_cycles,
                double weight, Scores& scores) {
    const double c = mean_cycle(course);
    const double per_cycle = std::ceil(1.3 * s.rate.value() / c);
    const auto x = stream_against_angle(s, course, per_cycle);
    const auto length = static_cast<std::size_t>(piece_cycles * per_cycle);
    if (length < 16 || x.size() < length / 2) return;
    LineSpectrum spectrum(length, 2);
    const double step = per_cycle / static_cast<double>(spectrum.padded());  // lines a cycle
    std::vector<float> power;
    const double high = std::min(top, s.high.value()) / c;
    for (std::size_t p = 0; p < scores.value.size(); ++p) {
        const double middle = scores.at_cycles[p] - s.first.value() * c;
        const auto a =
            static_cast<std::size_t>(std::clamp((middle - piece_cycles / 2) * per_cycle, 0.0,
                                                std::max(0.0, static_cast<double>(x.size()) - 1.0)));
        const auto n = std::min(length, x.size() - a);
        if (n < length / 3) continue;
        spectrum.power(std::span<const float>(x).subspan(a, n), power);
        power.resize(std::min(power.size(), static_cast<std::size_t>(1.05 * high / step) + 4));
        const auto y = standing_out(power, std::max<std::size_t>(8, static_cast<std::size_t>(2.5 / step)));
        for (int g = -half_grid; g <= half_grid; ++g) {
            const double scale = (1.0 + pass.reach * g / half_grid) / step;
            double sum = 0.0;
            int count = 0;
            for (double k = std::max(1.0, std::ceil(s.low.value() / c)); k <= high; k += 1.0, ++count) {
                const double pos = k * scale;
                const auto i = static_cast<std::size_t>(pos);
                if (i + 1 >= y.size()) break;
                const double w = pos - static_cast<double>(i);
                sum += static_cast<double>(y[i]) * (1.0 - w) + static_cast<double>(y[i + 1]) * w;
            }
            if (count > 0) scores.value[p][static_cast<std::size_t>(g + half_grid)] += weight * sum;
        }
    }
}

/// The smoothest good path through the scores: grid indices, made finer by a parabola.
std::vector<double> best_path(const Scores& s, double hop_seconds, double reach) {
    const std::size_t n = s.value.size(), states = 2 * half_grid + 1;
    // Corrections wander at most by some 2 % a second beyond what the course already follows.
    const double typical = std::max(1.0, 0.02 * hop_seconds / (reach / half_grid));
    std::vector<std::vector<int>> from(n, std::vector<int>(states, 0));
    std::vector<double> best(states, 0.0), previous(states, 0.0);
    for (std::size_t p = 0; p < n; ++p) {
        previous.swap(best);
        for (std::size_t i = 0; i < states; ++i) {
            double top = p == 0 ? 0.0 : -1e30;
            std::size_t source = i;
            if (p > 0)
                for (std::size_t j = 0; j < states; ++j) {
                    const double d = (static_cast<double>(i) - static_cast<double>(j)) / typical;
                    const double v = previous[j] - 0.5 * d * d;
                    if (v > top) top = v, source = j;
                }
            best[i] = top + s.value[p][i];
            from[p][i] = static_cast<int>(source);
        }
    }
    std::vector<double> path(n, 0.0);
    if (n == 0) return path;
    auto i = static_cast<std::size_t>(std::max_element(best.begin(), best.end()) - best.begin());
    for (std::size_t p = n; p-- > 0;) {
        const auto& v = s.value[p];
        double fine = static_cast<double>(i);
        if (i > 0 && i + 1 < states) {
            const double d2 = v[i - 1] - 2.0 * v[i] + v[i + 1];
            if (d2 < 0.0) fine += std::clamp(0.5 * (v[i - 1] - v[i + 1]) / d2, -0.5, 0.5);
        }
        path[p] = (fine - half_grid) / half_grid * reach;
        i = static_cast<std::size_t>(from[p][i]);
    }
    return path;
}

/// Standard error of the mean of correlated values: from means of eight equal stretches.
double error_of_mean(const std::vector<double>& v) {
    const std::size_t groups = std::min<std::size_t>(8, v.size() / 2);
    if (groups < 2) return 0.003;
    std::vector<double> mean(groups, 0.0);
    double all = 0.0;
    for (std::size_t g = 0; g < groups; ++g) {
        const std::size_t a = g * v.size() / groups, b = (g + 1) * v.size() / groups;
        for (std::size_t i = a; i < b; ++i) mean[g] += v[i];
        mean[g] /= static_cast<double>(b - a);
        all += mean[g] / static_cast<double>(groups);
    }
    double var = 0.0;
    for (const double m : mean) var += (m - all) * (m - all);
    return std::sqrt(var / static_cast<double>(groups * (groups - 1)));
}

}  // namespace

std::vector<float> stream_against_angle(const Stream& s, const Course& course, double per_cycle) {
    auto track = as_track(course);
    for (auto& t : track.at) t -= s.first;
    return against_angle(s.samples, s.rate, track, per_cycle);
}

Course refined(const Evidence& e, Course course, double* scatter) {
    for (const auto& pass : passes) {
        if (course.at.empty()) return course;
        const auto track = as_track(course);
        const double c = mean_cycle(course);
        const double cycles = track.turns_at(e.duration);
        const double piece = std::min(std::max(3.0, std::round(pass.piece * c)), cycles);
        const double hop = piece / 4.0;
        Scores scores;
        for (double m = piece / 2; m <= cycles - piece / 2 + 1e-9; m += hop) scores.at_cycles.push_back(m);
        scores.value.assign(scores.at_cycles.size(), std::vector<double>(2 * half_grid + 1, 0.0));
        // Half the lines of overlapping pieces (hop: a quarter) are new, hence the weight.
        add_stream(e.sound, course, pass, pass.sound_top, piece, 0.5, scores);
        for (const auto& s : e.envelopes)
            add_stream(s, course, pass, pass.envelope_top, piece,
                       0.5 / std::sqrt(static_cast<double>(e.envelopes.size())), scores);
        const auto path = best_path(scores, hop / c, pass.reach);
        // New knots at the pieces' middles: time by inverting the turns of the old course.
        Course better;
        better.strength = course.strength;
        std::vector<double> correction;
        double t = 0.0;
        for (std::size_t p = 0; p < path.size(); ++p) {
            for (int i = 0; i < 30; ++i) {  // Newton: the course is smooth and its slope known
                const double miss = scores.at_cycles[p] - track.turns_at(Seconds{t});
                const double slope = track.speed_at(Seconds{t}).value() / 60.0;
                t += miss / slope;
                if (std::abs(miss) < 1e-9) break;
            }
            better.at.push_back(Seconds{t});
            better.cycle.push_back(turns_per_second(track.speed_at(Seconds{t})) * (1.0 + path[p]));
            correction.push_back(path[p]);
        }
        if (scatter != nullptr) *scatter = error_of_mean(correction);
        if (!better.at.empty()) course = std::move(better);
    }
    return course;
}

}  // namespace cranknote::speed_detail
