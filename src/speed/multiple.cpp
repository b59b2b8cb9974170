#include "speed/multiple.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "signal/fft.hpp"
#include "speed/refine.hpp"

namespace cranknote::speed_detail {

namespace {

constexpr double piece_seconds = 5.0;
constexpr float ceiling = 5.0F;

/// The greatest value within a line's width of a place: wander leaves lines a little off.
double line_at(const CycleLines& l, double r) {
    const double reach = 0.6 * l.width;
    const auto a = static_cast<std::size_t>(std::max(0.0, std::ceil((r - reach) / l.step)));
    const auto b = static_cast<std::size_t>(std::max(0.0, std::floor((r + reach) / l.step)));
    double best = 0.0;
    for (std::size_t i = a; i <= b && i < l.y.size(); ++i) best = std::max(best, static_cast<double>(l.y[i]));
    return best;
}

struct Mean {
    double sum = 0.0, squares = 0.0;
    int count = 0;
    void add(double v) { sum += v, squares += v * v, ++count; }
    [[nodiscard]] double scatter() const {
        const double m = sum / count;
        return std::sqrt(std::max(0.0, squares / count - m * m));
    }
    [[nodiscard]] double value(double otherwise) const { return count > 0 ? sum / count : otherwise; }
};

/// All that a hypothesis says of one kind of lines.
struct Pattern {
    Mean firing, odd, even, other, gap;
    std::vector<Mean> family;
};

Pattern pattern_of(const CycleLines& l, double factor, int cylinders) {
    Pattern p;
    p.family.resize(static_cast<std::size_t>(std::max(1, cylinders)));
    const auto kmax = static_cast<int>(std::min(80.0, l.high / factor));
    const auto kmin = std::max(1, static_cast<int>(std::ceil(l.low / factor)));
    for (int k = kmin; k <= kmax; ++k) {
        const double y = line_at(l, factor * k);
        if (k % cylinders == 0) {
            p.firing.add(y);
            (k / cylinders % 2 == 0 ? p.even : p.odd).add(y);
        } else {
            p.other.add(y);
            p.family[static_cast<std::size_t>(k % cylinders)].add(y);
        }
        // Between this line and the next: as many places as there is room for, at least one. The maximum over
        // a line's width is taken there too, so that both sides of the comparison are read alike.
        const int places = std::clamp(static_cast<int>(factor / (3.0 * l.width)), 1, 7);
        for (int j = 1; j <= places && factor > 2.5 * l.width; ++j) {
            p.gap.add(line_at(l, factor * (k + static_cast<double>(j) / (places + 1))));
        }
    }
    return p;
}

/// Five numbers: how far the lines that do not fire stand above what lies between the comb; how far one other
/// family of lines rivals the firing lines; how unlike each other odd and even firing lines are; and how far
/// firing lines and the others stand out as sums in units of their scatter, since many lines say more than
/// few.
std::array<double, numbers_of_a_kind> numbers_of(const Pattern& p, int cylinders) {
    const double floor = p.gap.value(0.8);
    const double scatter = (p.gap.count > 8 ? p.gap.scatter() : 0.8) + 0.3;
    const double f = p.firing.value(floor) - floor, o = p.other.value(floor) - floor;
    double rival = -2.0;
    for (const auto& m : p.family)
        if (m.count > 0) rival = std::max(rival, m.value(floor) - floor - f);
    const double uneven =
        p.odd.count > 0 && p.even.count > 0 ? std::abs(p.odd.value(0) - p.even.value(0)) : 0.0;
    return {o, cylinders > 1 ? rival : -0.5, uneven,
            f * std::sqrt(static_cast<double>(p.firing.count)) / scatter,
            o * std::sqrt(static_cast<double>(p.other.count)) / scatter};
}

std::vector<double> factors() {
    std::vector<double> f;
    for (int p = 1; p <= 12; ++p)
        for (int q = 1; q <= 8; ++q)
            if (std::gcd(p, q) == 1) f.push_back(static_cast<double>(p) / q);
    return f;
}

}  // namespace

CycleLines cycle_lines(std::span<const Stream> streams, const Course& course, Hertz top) {
    CycleLines out;
    if (streams.empty()) return out;
    const double c = mean_cycle(course).value();
    const auto& s = streams.front();
    const double cycles = std::min(std::max(2.0, std::round(piece_seconds * c)),
                                   std::floor(static_cast<double>(s.samples.size()) / s.rate.value() * c));
    if (cycles < 1.0) return out;
    const auto length = signal::fast_size(static_cast<std::size_t>(0.9 * s.rate.value() / c * cycles));
    const double per_cycle = static_cast<double>(length) / cycles;
    const auto x = streams_against_angle(streams, course, per_cycle);
    LineSpectrum spectrum(length, 2 * length);
    out.step = per_cycle / static_cast<double>(spectrum.padded());
    out.width = 1.0 / cycles;
    out.low = s.low.value() / c;
    out.high = std::min(top, s.high).value() / c;
    const auto reach = static_cast<std::size_t>(std::max(8.0, 22.0 / c / out.step));
    out.y.assign(static_cast<std::size_t>(1.05 * out.high / out.step) + 4, 0.0F);
    for (const auto& v : x) {
        std::vector<float> mean(out.y.size(), 0.0F);
        for (std::size_t a = 0; a == 0 || a + length <= v.size(); a += length / 2)
            spectrum.add_power(std::span<const float>(v).subspan(a, std::min(length, v.size() - a)), 1.0F,
                               mean);
        const auto y = standing_out(mean, reach, 2, ceiling);
        for (std::size_t k = 0; k < y.size(); ++k) out.y[k] += y[k] / static_cast<float>(streams.size());
    }
    return out;
}

const MultipleModel& multiple_model() {
    // By `score_speed fit` on the set `tune`, with sounds that are no engines; the temperature is above what
    // cross-validation asks for (1.0), since other recordings differ from simulated ones.
    static const MultipleModel m{
        {1.923, -1.423, -0.501, 0.153, 0.226, 0.083, -0.475, -0.347, 0.493, 0.155, -0.466, -0.901, 0.494},
        6.357,
        1.15};
    return m;
}

Multiples multiples_of(const Evidence& e, const Course& course, std::optional<int> cylinders, int cycle_turns,
                       Rpm slowest, Rpm fastest) {
    Multiples out;
    if (course.at.empty()) {
        out.none = 1.0;
        return out;
    }
    double c = 0.0;
    for (const auto f : course.cycle) c += f.value() / static_cast<double>(course.cycle.size());
    const auto sound = cycle_lines(std::span(&e.sound, 1), course, sound_top);
    const auto envelope = cycle_lines(e.envelopes, course, envelope_top);
    const std::vector<int> counts =
        cylinders ? std::vector<int>{*cylinders} : std::vector<int>{1, 2, 3, 4, 5, 6, 8};
    for (const double factor : factors()) {
        const Rpm n = rpm_of_turns(Hertz{c * factor}) * cycle_turns;
        if (n < slowest || n > fastest) continue;
        for (const int count : counts) {
            Hypothesis h{factor, count, Hertz{c * factor}, {}, 0.0};
            const auto a = numbers_of(pattern_of(sound, factor, count), count);
            const auto b = numbers_of(pattern_of(envelope, factor, count), count);
            std::copy(a.begin(), a.end(), h.features.begin());
            std::copy(b.begin(), b.end(), h.features.begin() + a.size());
            const double octaves = std::log2(n.value() / 850.0);
            h.features[10] = octaves;
            h.features[11] = octaves * octaves;
            h.features[12] = cylinders ? 0.0 : (count == 4 || count == 6 ? 1.0 : 0.0);
            out.hypotheses.push_back(h);
        }
    }
    const auto& model = multiple_model();
    double total = std::exp(model.none / model.temperature);
    for (auto& h : out.hypotheses) {
        double u = 0.0;
        for (std::size_t i = 0; i < feature_count; ++i) u += model.weight[i] * h.features[i];
        h.probability = std::exp(u / model.temperature);
        total += h.probability;
    }
    for (auto& h : out.hypotheses) h.probability /= total;
    out.none = std::exp(model.none / model.temperature) / total;
    std::sort(out.hypotheses.begin(), out.hypotheses.end(),
              [](const Hypothesis& x, const Hypothesis& y) { return x.probability > y.probability; });
    return out;
}

}  // namespace cranknote::speed_detail
