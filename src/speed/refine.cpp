#include "speed/refine.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "speed/angle.hpp"
#include "speed/pieces.hpp"

namespace cranknote::speed_detail {

namespace {

constexpr double tau = 2.0 * std::numbers::pi;
constexpr int half_grid = 20;
constexpr std::size_t grid = 2 * half_grid + 1;

struct Pass {
    double top;     // Hz, of the sound's lines
    double reach;   // largest correction, relative
    double piece;   // s
    double unrest;  // by how much corrections may differ over a quarter of a second, relative
    int fewest_cycles = 4;
};
constexpr Pass by_strength{320, 0.024, 0.70, 0.006};
// Each pass's reach is what the one before may have left.
constexpr Pass by_phase[] = {
    {420, 0.006, 0.55, 0.003}, {1100, 0.003, 0.50, 0.002}, {1100, 0.006, 0.28, 0.004, 2}};
constexpr double envelope_top = 240.0;  // Hz
constexpr double most_weight =
    10.0;  // of one line in one piece: combustion differs more than noise from cycle to cycle

/// The smoothest good path through scores (rows of `grid`): corrections, made finer by a parabola.
std::vector<double> best_path(const std::vector<float>& score, std::size_t count, const Pass& pass,
                              double hop) {
    const double step = pass.reach / half_grid, unrest = pass.unrest * std::sqrt(hop / 0.25);
    std::vector<float> cost(2 * grid);  // by difference of grid places
    for (std::size_t d = 0; d < cost.size(); ++d)
        cost[d] = static_cast<float>(0.5 * std::pow(static_cast<double>(d) * step / unrest, 2));
    std::vector<std::uint8_t> from(count * grid, 0);
    std::vector<float> best(grid, 0.0F), previous(grid, 0.0F);
    for (std::size_t p = 0; p < count; ++p) {
        previous.swap(best);
        for (std::size_t i = 0; i < grid; ++i) {
            float top = p == 0 ? 0.0F : -1e30F;
            std::size_t source = i;
            for (std::size_t j = 0; p > 0 && j < grid; ++j) {
                const float v = previous[j] - cost[i > j ? i - j : j - i];
                if (v > top) top = v, source = j;
            }
            best[i] = top + score[p * grid + i];
            from[p * grid + i] = static_cast<std::uint8_t>(source);
        }
    }
    std::vector<double> path(count, 0.0);
    auto i = static_cast<std::size_t>(std::max_element(best.begin(), best.end()) - best.begin());
    for (std::size_t p = count; p-- > 0;) {
        const float* v = score.data() + p * grid;
        double fine = static_cast<double>(i);
        if (i > 0 && i + 1 < grid) {
            const auto bow = static_cast<double>(v[i - 1] - 2.0F * v[i] + v[i + 1]);
            if (bow < 0.0)
                fine += std::clamp(0.5 * static_cast<double>(v[i - 1] - v[i + 1]) / bow, -0.5, 0.5);
        }
        path[p] = (fine - half_grid) * step;
        i = from[p * grid + i];
    }
    return path;
}

/// The course with corrections at even steps of its angle, from `first` cycles on.
Course corrected(const Course& course, double first, double hop, const std::vector<double>& path) {
    const auto track = as_track(course);
    std::vector<double> cycles(path.size());
    for (std::size_t p = 0; p < path.size(); ++p) cycles[p] = first + hop * static_cast<double>(p);
    Course better;
    better.strength = course.strength;
    better.at = times_of_turns(track, cycles);
    for (std::size_t p = 0; p < path.size(); ++p)
        better.cycle.push_back(turns_per_second(track.speed_at(better.at[p])) * (1.0 + path[p]));
    return better;
}

/// All lines that stand out, of all streams, piece by piece.
struct Line {
    std::size_t k;
    double weight;  // 1 / noise power
    std::vector<std::complex<double>> at;
};

struct Lines {
    Cut cut;
    std::vector<PieceLines> streams;
    std::vector<Line> line;
};

void pick_lines(Lines& l) {
    l.line.clear();
    for (const auto& s : l.streams)
        for (std::size_t k = 1; k <= s.lines; ++k) {
            double power = 0.0;
            for (std::size_t p = 0; p < l.cut.count; ++p) power += static_cast<double>(std::norm(s.at(p, k)));
            power /= static_cast<double>(l.cut.count);
            const double noise = static_cast<double>(s.noise[k - 1]);
            if (!(noise > 0.0) || power < 1.5 * noise) continue;  // hardly a line
            Line r{k, 1.0 / noise, {}};
            for (std::size_t p = 0; p < l.cut.count; ++p) r.at.emplace_back(s.at(p, k));
            l.line.push_back(std::move(r));
        }
}

Lines lines_of(const Evidence& e, const Course& course, const Cut& cut, double top) {
    Lines l{cut, {}, {}};
    const Stream& sound = top > e.bass.high.value() ? e.sound : e.bass;
    l.streams = piece_lines(std::span(&sound, 1), course, cut, Hertz{top});
    auto more = piece_lines(e.envelopes, course, cut, Hertz{envelope_top});
    std::move(more.begin(), more.end(), std::back_inserter(l.streams));
    pick_lines(l);
    return l;
}

/// Pieces of two cycles have no place between their lines to read the noise from: longer pieces tell it.
void take_noise(Lines& l, const Lines& longer) {
    for (std::size_t i = 0; i < std::min(l.streams.size(), longer.streams.size()); ++i) {
        const auto& from = longer.streams[i];
        for (std::size_t k = 0; k < l.streams[i].lines && from.lines > 0; ++k)
            l.streams[i].noise[k] = from.noise[std::min(k, from.lines - 1)] *
                                    static_cast<float>(l.cut.cycles) / static_cast<float>(longer.cut.cycles);
    }
    pick_lines(l);
}

/// Adds Re(value exp(-i 2 pi k delta cycles)) for delta on the grid of +-reach.
class PhaseGrid {
  public:
    PhaseGrid(double k_cycles, double reach)
        : first_(std::polar(1.0, tau * k_cycles * reach)),
          turn_(std::polar(1.0, -tau * k_cycles * reach / half_grid)) {}
    void add(std::complex<double> value, std::span<float> row) const {
        std::complex<float> v(value * first_);
        const std::complex<float> turn(turn_);
        for (auto& r : row) {
            r += v.real();
            v = {v.real() * turn.real() - v.imag() * turn.imag(),
                 v.real() * turn.imag() + v.imag() * turn.real()};
        }
    }

  private:
    std::complex<double> first_, turn_;
};

/// The top of a score row, made finer by a parabola, as a correction.
double top_of(std::span<const float> score, double reach) {
    const auto i = static_cast<std::size_t>(std::max_element(score.begin(), score.end()) - score.begin());
    double fine = static_cast<double>(i);
    if (i > 0 && i + 1 < score.size()) {
        const auto bow = static_cast<double>(score[i - 1] - 2.0F * score[i] + score[i + 1]);
        if (bow < 0.0)
            fine += std::clamp(0.5 * static_cast<double>(score[i - 1] - score[i + 1]) / bow, -0.5, 0.5);
    }
    return (fine - half_grid) / half_grid * reach;
}

Course strength_pass(const Evidence& e, const Course& course, Refinement& about) {
    const auto cut = cut_of(course, e.duration, Seconds{by_strength.piece});
    if (cut.count == 0) return course;
    std::vector<float> scores(cut.count * grid, 0.0F);
    // Half of a piece's lines are its own, half shared with its neighbour.
    add_comb_scores(std::span(&e.bass, 1), course, cut, Hertz{by_strength.top}, by_strength.reach, half_grid,
                    0.5, scores);
    add_comb_scores(e.envelopes, course, cut, Hertz{envelope_top}, by_strength.reach, half_grid, 0.5, scores);
    const auto path = best_path(scores, cut.count, by_strength, cut.hop() / mean_cycle(course).value());
    double sum = 0.0, all = 0.0;
    for (std::size_t p = 0; p < cut.count; ++p) {
        const auto g =
            static_cast<std::size_t>(std::lround(path[p] / by_strength.reach * half_grid) + half_grid);
        sum += static_cast<double>(scores[p * grid + g]);
        for (std::size_t i = 0; i < grid; ++i) all += static_cast<double>(scores[p * grid + i]) / grid;
    }
    about.sharpness = (sum - all) / static_cast<double>(cut.count);
    return corrected(course, cut.middle(0), cut.hop(), path);
}

/// Corrections from each piece to the next, the variance of each, and how much of the lines agrees with it.
struct Advances {
    std::vector<double> path, variance, agreement;
};

/// By the phase advances of all lines.
Advances advances(const Lines& l, const Pass& pass, double hop_seconds) {
    std::vector<float> between((l.cut.count - 1) * grid, 0.0F);
    std::vector<double> all(l.cut.count - 1, 0.0);
    for (const auto& r : l.line) {
        const PhaseGrid phases(static_cast<double>(r.k) * l.cut.hop(), pass.reach);
        for (std::size_t p = 0; p + 1 < l.cut.count; ++p) {
            const auto v = r.at[p + 1] * std::conj(r.at[p]);
            const double size = std::sqrt(std::norm(v));
            if (size <= 0.0) continue;
            const double weight = std::min(size * r.weight, most_weight);
            phases.add(v * (weight / size), std::span(between).subspan(p * grid, grid));
            all[p] += weight;
        }
    }
    Advances a{best_path(between, l.cut.count - 1, pass, hop_seconds), {}, {}};
    const double step = pass.reach / half_grid;
    for (std::size_t p = 0; p < a.path.size(); ++p) {
        // The score is a log likelihood: its bow is the inverse variance.
        const auto i = std::clamp<std::size_t>(
            static_cast<std::size_t>(std::lround(a.path[p] / step) + half_grid), 1, grid - 2);
        const float* v = between.data() + p * grid;
        const auto bow = static_cast<double>(2.0F * v[i] - v[i - 1] - v[i + 1]) / (step * step);
        a.variance.push_back(1.0 / std::max(bow, 1.0 / (pass.reach * pass.reach)));
        a.agreement.push_back(all[p] > 0.0 ? static_cast<double>(v[i]) / all[p] : 0.0);
    }
    return a;
}

/// How each piece stands on the final course.
std::vector<PieceState> states_of(const Lines& l, const Advances& a, const Course& course) {
    std::vector<double> turns;
    for (std::size_t p = 0; p < l.cut.count; ++p) turns.push_back(l.cut.middle(p));
    const auto at = times_of_turns(as_track(course), turns);
    std::vector<PieceState> states;
    for (std::size_t p = 0; p < at.size(); ++p) {
        PieceState s{at[p], 0.0, 0.0};
        for (const auto& r : l.line) s.strength += std::log1p(std::norm(r.at[p]) * r.weight);
        if (!l.line.empty()) s.strength /= static_cast<double>(l.line.size());
        if (p > 0) s.step = a.agreement[p - 1];
        if (p < a.agreement.size()) s.step = std::max(s.step, a.agreement[p]);
        states.push_back(s);
    }
    return states;
}

/// Half way between the middles of neighbouring pieces.
std::vector<double> turns_at_hops(const Cut& cut) {
    std::vector<double> t;
    for (std::size_t p = 0; p + 1 < cut.count; ++p) t.push_back(cut.middle(p) + 0.5 * cut.hop());
    return t;
}

/// A random walk of `unrest` a step behind noisy values (Kalman filter, Rauch-Tung-Striebel smoother 1965).
struct Smoothed {
    std::vector<double> value;
    double log_likelihood = 0.0;
};

Smoothed smoothed(const Advances& a, double unrest) {
    const std::size_t n = a.path.size();
    std::vector<double> m(n), v(n);
    Smoothed s;
    double mean = 0.0, var = 0.01;  // before anything is known: 10 %
    for (std::size_t p = 0; p < n; ++p) {
        const double ahead = p == 0 ? var : var + unrest * unrest;
        const double total = ahead + a.variance[p], miss = a.path[p] - mean;
        s.log_likelihood -= 0.5 * (std::log(total) + miss * miss / total);
        mean += ahead / total * miss;
        var = ahead * a.variance[p] / total;
        m[p] = mean, v[p] = var;
    }
    s.value = m;
    for (std::size_t p = n; p-- > 1;)
        s.value[p - 1] += v[p - 1] / (v[p - 1] + unrest * unrest) * (s.value[p] - s.value[p - 1]);
    return s;
}

/// Corrections that make the whole course as smooth as its own scatter says that it is: a steady engine's
/// comes out straight. `turns`: the cycles at which the corrections stand.
std::vector<double> fitted_path(Advances a, const Course& course, const std::vector<double>& turns) {
    const auto track = as_track(course);
    const double mean = mean_cycle(course).value() * 60.0;
    std::vector<double> before;
    for (const auto t : times_of_turns(track, turns))
        before.push_back(std::log(track.speed_at(t).value() / mean));
    for (std::size_t p = 0; p < a.path.size(); ++p) a.path[p] += before[p];
    Smoothed best;
    best.log_likelihood = -1e300;
    for (const double unrest : {1e-6, 1e-4, 2e-4, 4e-4, 8e-4, 1.6e-3, 3.2e-3, 6.4e-3}) {
        auto s = smoothed(a, unrest);
        if (s.log_likelihood > best.log_likelihood) best = std::move(s);
    }
    for (std::size_t p = 0; p < before.size(); ++p) best.value[p] -= before[p];
    return best.value;
}

/// Turns the lines' phases to what they would be on the course corrected by `path`.
void turn_to(Lines& l, const std::vector<double>& path) {
    for (auto& r : l.line) {
        double off = 0.0;
        for (std::size_t p = 0; p < path.size(); ++p) {
            off += path[p] * l.cut.hop();
            r.at[p + 1] *= std::polar(1.0, -tau * static_cast<double>(r.k) * off);
        }
    }
}

/// The mean's correction from phase advances over spans that double while the lines keep step.
double mean_correction(const Lines& l, Refinement& about) {
    // Two thirds of the whole is the span that tells most (Tretter 1985; Kay 1989).
    std::vector<std::size_t> lags;
    for (std::size_t lag = 1; lag < 2 * l.cut.count / 3; lag *= 2) lags.push_back(lag);
    lags.push_back(std::max<std::size_t>(1, 2 * l.cut.count / 3));
    double shift = 0.0, reach = 0.002;
    for (const std::size_t lag : lags) {
        std::vector<float> score(grid, 0.0F);
        double together = 0.0, alone = 0.0, stiffness = 0.0;
        for (const auto& r : l.line) {
            std::complex<double> sum = 0.0;
            for (std::size_t p = 0; p + lag < l.cut.count; ++p) {
                const auto d = r.at[p + lag] * std::conj(r.at[p]);
                const double size = std::sqrt(std::norm(d));
                const double w = r.weight / (1.0 + size * r.weight / most_weight);
                sum += d * w, alone += size * w;
            }
            const double k_span = static_cast<double>(r.k) * l.cut.hop() * static_cast<double>(lag);
            PhaseGrid(k_span, reach).add(sum * std::polar(1.0, -tau * k_span * shift), score);
            together += std::abs(sum);
            stiffness += std::abs(sum) * std::pow(tau * k_span, 2);
        }
        if (!(alone > 0.0)) break;
        if (lag == 1) about.coherence = together / alone;
        if (lag > 1 && together < 0.5 * alone) break;
        shift += top_of(score, reach);
        about.error = 1.0 / std::sqrt(std::max(stiffness, 1.0));
        reach = std::max(reach * 0.5, 1e-6);
    }
    return shift;
}

}  // namespace

SpeedTrack as_track(const Course& c) {
    SpeedTrack t;
    t.at = c.at;
    for (const auto f : c.cycle) t.rpm.push_back(rpm_of_turns(f));
    return t;
}

Hertz mean_cycle(const Course& c) {
    double sum = 0.0;
    for (const auto f : c.cycle) sum += f.value();
    return Hertz{c.cycle.empty() ? 0.0 : sum / static_cast<double>(c.cycle.size())};
}

std::vector<std::vector<float>> streams_against_angle(std::span<const Stream> streams, const Course& course,
                                                      double per_cycle) {
    std::vector<std::span<const float>> x;
    for (const auto& s : streams) x.emplace_back(s.samples);
    return streams.empty() ? std::vector<std::vector<float>>{}
                           : against_angle(x, streams.front().rate, as_track(course), per_cycle);
}

Course refined(const Evidence& e, Course course, Refinement* about) {
    Refinement r;
    if (!course.at.empty()) course = strength_pass(e, course, r);
    Lines longer;
    for (const auto& pass : by_phase) {
        if (course.at.empty()) break;
        const auto cut = cut_of(course, e.duration, Seconds{pass.piece}, pass.fewest_cycles);
        if (cut.count < 2) break;
        auto lines = lines_of(e, course, cut, pass.top);
        if (cut.cycles < 4) take_noise(lines, longer);
        const auto found = advances(lines, pass, cut.hop() / mean_cycle(course).value());
        const bool last = &pass == std::end(by_phase) - 1;
        const auto path = last ? fitted_path(found, course, turns_at_hops(cut)) : found.path;
        course = corrected(course, cut.middle(0) + 0.5 * cut.hop(), cut.hop(), path);
        if (last) {
            turn_to(lines, path);
            const double shift = mean_correction(lines, r);
            for (auto& c : course.cycle) c = c * (1.0 + shift);
            r.pieces = states_of(lines, found, course);
        }
        longer = std::move(lines);
    }
    if (about != nullptr) *about = r;
    return course;
}

}  // namespace cranknote::speed_detail
