#include "speed/pieces.hpp"

#include <algorithm>
#include <cmath>

#include "signal/fft.hpp"
#include "speed/refine.hpp"

namespace cranknote::speed_detail {

namespace {

/// Samples a cycle so that a piece has a fast length and nothing folds.
std::size_t piece_length(const Stream& s, const Course& course, const Cut& cut) {
    double slowest = mean_cycle(course).value();
    for (const auto c : course.cycle) slowest = std::min(slowest, c.value());
    // 0.85: lines are read to 0.42 of the rate at most, so a little folding above that does no harm.
    const double most = 0.85 * s.rate.value() / std::max(slowest, 0.6 * mean_cycle(course).value());
    return signal::fast_size(static_cast<std::size_t>(std::ceil(most * cut.cycles)));
}

/// The cycle frequency that nine tenths of the course exceed: pieces hold a number of cycles, and where the
/// engine turns slowly they must not grow too long to follow it.
double slow_cycle(const Course& course) {
    std::vector<double> v;
    for (const auto c : course.cycle) v.push_back(c.value());
    if (v.empty()) return 0.0;
    const auto q = v.begin() + static_cast<std::ptrdiff_t>(v.size() / 10);
    std::nth_element(v.begin(), q, v.end());
    return *q;
}

/// The mean power between lines k and k + 1, over neighbours too.
std::vector<float> noise_of(const std::vector<float>& between, std::size_t lines, std::size_t count) {
    std::vector<float> noise(lines, 0.0F);
    for (std::size_t k = 1; k <= lines; ++k) {
        const std::size_t a = k > 3 ? k - 3 : 0, b = std::min(lines, k + 2);
        for (std::size_t j = a; j <= b; ++j) noise[k - 1] += between[j];
        noise[k - 1] /= static_cast<float>((b - a + 1) * count);
    }
    return noise;
}

PieceLines lines_of_pieces(std::span<const float> x, const Stream& s, Hertz cycle, const Cut& cut, Hertz top,
                           LineSpectrum& spectrum) {
    PieceLines out;
    const std::size_t length = spectrum.length();
    const auto m = static_cast<std::size_t>(cut.cycles);
    const double highest = std::min(top, s.high) / cycle;
    out.lines = std::min(static_cast<std::size_t>(std::max(0.0, highest)), (length / 2 - m) / m);
    const auto lowest = std::max<std::size_t>(1, static_cast<std::size_t>(std::ceil(s.low / cycle)));
    out.row.assign(cut.count * out.lines, 0.0F);
    std::vector<float> between(out.lines + 1, 0.0F);
    for (std::size_t p = 0; p < cut.count; ++p) {
        const std::size_t a = std::min(p * (length / 2), x.size());
        spectrum.transform(x.subspan(a, std::min(length, x.size() - a)));
        const auto lines = spectrum.lines();
        for (std::size_t k = lowest; k <= out.lines; ++k) out.row[p * out.lines + k - 1] = lines[k * m];
        for (std::size_t k = 0; k <= out.lines; ++k) between[k] += std::norm(lines[k * m + m / 2]);
    }
    out.noise = noise_of(between, out.lines, cut.count);
    return out;
}

}  // namespace

Cut cut_of(const Course& course, Seconds duration, Seconds seconds, int fewest_cycles) {
    const double c = slow_cycle(course);
    const double cycles = as_track(course).turns_at(duration);
    Cut cut;
    cut.cycles = std::max(fewest_cycles, 2 * static_cast<int>(std::lround(0.5 * c * seconds.value())));
    while (cut.cycles > fewest_cycles && cut.cycles > cycles) cut.cycles -= 2;
    if (cycles >= cut.cycles)
        cut.count = static_cast<std::size_t>((cycles - cut.cycles) / (0.5 * cut.cycles)) + 1;
    return cut;
}

std::vector<PieceLines> piece_lines(std::span<const Stream> streams, const Course& course, const Cut& cut,
                                    Hertz top) {
    std::vector<PieceLines> out;
    if (streams.empty() || cut.count == 0) return out;
    const std::size_t length = piece_length(streams.front(), course, cut);
    const auto x = streams_against_angle(streams, course, static_cast<double>(length) / cut.cycles);
    LineSpectrum spectrum(length, length);
    for (std::size_t i = 0; i < streams.size(); ++i)
        out.push_back(lines_of_pieces(x[i], streams[i], mean_cycle(course), cut, top, spectrum));
    return out;
}

void add_comb_scores(std::span<const Stream> streams, const Course& course, const Cut& cut, Hertz top,
                     double reach, int half, double weight, std::vector<float>& scores) {
    if (streams.empty() || cut.count == 0) return;
    const double c = mean_cycle(course).value();
    const std::size_t length = piece_length(streams.front(), course, cut);
    const double per_cycle = static_cast<double>(length) / cut.cycles;
    const auto x = streams_against_angle(streams, course, per_cycle);
    LineSpectrum spectrum(length, 2 * length);
    const double step = per_cycle / static_cast<double>(spectrum.padded());  // cycles^-1 a line
    const double high = std::min(top.value(), streams.front().high.value()) / c;
    const double low = std::max(1.0, std::ceil(streams.front().low.value() / c));
    const auto grid = static_cast<std::size_t>(2 * half + 1);
    std::vector<float> power;
    for (std::size_t p = 0; p < cut.count; ++p) {
        power.assign(std::min(spectrum.padded() / 2, static_cast<std::size_t>(1.05 * high / step) + 4), 0.0F);
        for (const auto& v : x) {
            const std::size_t a = std::min(p * (length / 2), v.size());
            spectrum.add_power(std::span<const float>(v).subspan(a, std::min(length, v.size() - a)), 1.0F,
                               power);
        }
        const auto y =
            standing_out(power, std::max<std::size_t>(8, static_cast<std::size_t>(2.5 / step)), 2, 4.0F);
        for (std::size_t g = 0; g < grid; ++g) {
            const double scale = (1.0 + reach * (static_cast<double>(g) - half) / half) / step;
            float sum = 0.0F;
            for (double k = low; k <= high; k += 1.0) {
                const auto i = static_cast<std::size_t>(k * scale);
                if (i + 1 >= y.size()) break;
                const auto w = static_cast<float>(k * scale - static_cast<double>(i));
                sum += y[i] + w * (y[i + 1] - y[i]);
            }
            scores[p * grid + g] += static_cast<float>(weight) * sum;
        }
    }
}

}  // namespace cranknote::speed_detail
