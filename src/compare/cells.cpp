#include "compare/cells.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>

#include "portrait/features.hpp"

namespace cranknote {

namespace {

constexpr double tone_prominence =
    9.0;  // dB over local noise before a line is looked at (ECMA-418-1 asks 8 above 1 kHz)
constexpr double beat_prominence = 5.0;  // dB over a steady band's own scatter
constexpr std::size_t tones_per_take = 40, beats_per_band = 16;
constexpr double tone_tolerance = 0.004,
                 beat_tolerance = 0.006;  // relative: creep of a belt from start to start

struct SideReading {
    double level = 0.0, prominence = 0.0, error = 0.0;
};

/// Mean over a side's takes; absent if any take does not hold it.
template <class Read>
std::optional<SideReading> read_side(const std::vector<Take>& side, Read read) {
    SideReading r;
    double square = 0.0;
    for (const auto& t : side) {
        const std::optional<Level> one = read(*t.portrait);
        if (!one) return std::nullopt;
        r.level += one->level.value(), r.prominence += one->prominence, square += one->within * one->within;
    }
    const auto n = static_cast<double>(side.size());
    r.level /= n, r.prominence /= n, r.error = std::sqrt(square) / n;
    return r;
}

/// Error of a difference of means: spread between takes on each side, and unsteadiness within them.
double total_error(double spread, const std::vector<Take>& a, const std::vector<Take>& b, double within_a,
                   double within_b) {
    const double between =
        spread * spread * (1.0 / static_cast<double>(a.size()) + 1.0 / static_cast<double>(b.size()));
    return std::sqrt(between + within_a * within_a + within_b * within_b);
}

double soft(double level, double floor) {
    return 10.0 * std::log10(std::pow(10.0, level / 10.0) + std::pow(10.0, floor / 10.0));
}

struct Context {
    const std::vector<Take>& a;
    const std::vector<Take>& b;
    const CommonRange& range;
    const Alignment& alignment;
    const SpreadModel& spread;
    double factor;
    std::vector<Cell>& out;
};

void add_bands(const Context& c, double octaves, double hop, double spread) {
    const double width = std::exp2(octaves);
    const double first = std::max(88.4, c.range.low.value());
    for (double low = first; low * width <= c.range.high.value() * 1.001; low *= std::exp2(hop)) {
        const Hertz lo{low}, hi{low * width};
        const auto read = [&](const Portrait& p) { return band_level(p, lo, hi); };
        const auto ra = read_side(c.a, read), rb = read_side(c.b, read);
        if (!ra || !rb) continue;
        Cell cell;
        cell.kind = CellKind::band, cell.low = low, cell.high = low * width;
        cell.a = ra->level, cell.b = rb->level;
        cell.change = rb->level - ra->level - c.alignment.at(Hertz{low * std::sqrt(width)});
        cell.error = total_error(spread * c.factor, c.a, c.b, ra->error, rb->error);
        c.out.push_back(cell);
    }
}

void add_bumps(const Context& c, double octaves) {
    const double width = std::exp2(octaves);
    for (double low = std::max(250.0, c.range.low.value()); low * width <= c.range.high.value();
         low *= width) {
        const Hertz lo{low}, hi{low * width};
        const auto read = [&](const Portrait& p) { return bump_level(p, lo, hi); };
        const auto ra = read_side(c.a, read), rb = read_side(c.b, read);
        if (!ra || !rb) continue;
        Cell cell;
        cell.kind = CellKind::bump, cell.low = low, cell.high = low * width;
        cell.a = ra->level, cell.b = rb->level, cell.prominence_a = ra->prominence,
        cell.prominence_b = rb->prominence;
        cell.change = rb->level - ra->level;
        cell.error = total_error(c.spread.bump * c.factor, c.a, c.b, ra->error, rb->error);
        c.out.push_back(cell);
    }
}

/// How much a tone may move by reflections alone: less where wander sweeps it over many of them. A room of
/// 0.5 s reverberation decorrelates over some 4 Hz (Schroeder 1962: 6.6 / RT).
double tone_spread(const SpreadModel& s, double hertz, const std::vector<Take>& a,
                   const std::vector<Take>& b) {
    double wander = 1.0;
    for (const auto* side : {&a, &b})
        for (const auto& t : *side) wander = std::min(wander, t.portrait->rpm_spread);
    const double independent = 1.0 + hertz * wander * 2.0 / 4.0;
    return std::max(s.tone_least, s.tone / std::sqrt(independent));
}

/// Places that stand out on either side, nearer ones than `apart` (relative) once.
template <class PeaksOf>
std::vector<double> candidates(const Context& c, double apart, PeaksOf peaks) {
    std::vector<Peak> all;
    for (const auto* side : {&c.a, &c.b})
        for (const auto& t : *side) {
            const auto p = peaks(*t.portrait);
            all.insert(all.end(), p.begin(), p.end());
        }
    std::sort(all.begin(), all.end(),
              [](const Peak& x, const Peak& y) { return x.prominence > y.prominence; });
    std::vector<double> places;
    for (const auto& p : all)
        if (std::none_of(places.begin(), places.end(),
                         [&](double q) { return std::abs(q / p.place - 1.0) < apart; }))
            places.push_back(p.place);
    return places;
}

struct Member {
    double place, a, b, prominence_a, prominence_b;
};

/// One cell of a family of places; `spread` is that of one member, of which a share is common to all.
void add_family(const Context& c, CellKind kind, double place, double low, double high,
                const std::vector<Member>& members, double spread) {
    if (members.empty()) return;
    Cell cell;
    cell.kind = kind, cell.place = place, cell.low = low, cell.high = high;
    for (const auto& m : members) {
        const auto n = static_cast<double>(members.size());
        cell.a += m.a / n, cell.b += m.b / n;
        cell.prominence_a = std::max(cell.prominence_a, m.prominence_a),
        cell.prominence_b = std::max(cell.prominence_b, m.prominence_b);
        if (std::none_of(cell.members.begin(), cell.members.end(),
                         [&](double q) { return std::abs(q / m.place - 1.0) < 1e-3; }))
            cell.members.push_back(m.place);
    }
    cell.change = cell.b - cell.a;
    const double n = static_cast<double>(members.size());
    const double shared = c.spread.common;
    cell.error = total_error(spread * c.factor * std::sqrt(shared + (1.0 - shared) / n), c.a, c.b, 0.0, 0.0);
    c.out.push_back(cell);
}

void add_tones(const Context& c, bool ratio) {
    const auto spectrum = [&](const Portrait& p) -> const ToneSpectrum& {
        return ratio ? p.tones_ratio : p.tones_hz;
    };
    const double hz_per_unit = ratio ? c.a.front().portrait->speed.mean->value() / 60.0 : 1.0;
    const double first = ratio ? std::max(2.0, c.range.ratio_low) : std::max(100.0, c.range.low.value());
    const double last = ratio ? c.range.ratio_high : c.range.high.value();
    const auto places = candidates(c, 0.004, [&](const Portrait& p) {
        const auto& t = spectrum(p);
        auto peaks = peaks_of(t.power, t.floor, t.step, first, tone_prominence, tones_per_take);
        if (!ratio && p.has_speed())  // what is sharper against crank angle is looked at there
            std::erase_if(peaks, [&](const Peak& k) {
                const auto r = tone_level(p.tones_ratio, k.place * 60.0 / p.speed.mean->value(), 0.006);
                return r && r->prominence > k.prominence - 2.0;
            });
        return peaks;
    });
    const auto member = [&](double place) -> std::optional<Member> {
        if (place < first || place > last) return std::nullopt;
        const auto read = [&](const Portrait& p) { return tone_level(spectrum(p), place, tone_tolerance); };
        const auto ra = read_side(c.a, read), rb = read_side(c.b, read);
        if (!ra || !rb) return std::nullopt;
        return Member{place, soft(ra->prominence, 0.0), soft(rb->prominence, 0.0), ra->prominence,
                      rb->prominence};
    };
    for (const double place : places) {
        std::vector<Member> family;
        for (int h = 1; h <= 3; ++h) {
            const auto m = member(place * h);
            if (!m) break;
            if (h > 1 && std::max(m->prominence_a, m->prominence_b) < tone_prominence) continue;
            family.push_back(*m);
            if (h == 1 || family.size() > 1)
                add_family(c, ratio ? CellKind::tone_ratio : CellKind::tone_hz, place, place * hz_per_unit,
                           place * hz_per_unit, family, tone_spread(c.spread, place * hz_per_unit, c.a, c.b));
        }
    }
}

void add_beats(const Context& c) {
    std::size_t bands = 100;
    for (const auto* side : {&c.a, &c.b})
        for (const auto& t : *side) bands = std::min(bands, t.portrait->beats.size());
    std::vector<std::size_t> usable;
    for (std::size_t i = 0; i < bands; ++i) {
        const auto& band = c.a.front().portrait->beats[i];
        if (band.high <= c.range.high * 1.05 && band.low >= c.range.low * 0.95) usable.push_back(i);
    }
    if (usable.empty()) return;
    const auto places = candidates(c, 0.012, [&](const Portrait& p) {
        std::vector<Peak> all;
        for (const auto i : usable) {
            const auto& s = p.beats[i];
            const auto peaks = peaks_of(s.power, s.floor, s.step, std::max(0.12, 4.0 * s.step),
                                        beat_prominence, beats_per_band);
            all.insert(all.end(), peaks.begin(), peaks.end());
        }
        return all;
    });
    const auto member = [&](std::size_t band, double place) -> std::optional<Member> {
        const auto read = [&](const Portrait& p) { return beat_level(p.beats[band], place, beat_tolerance); };
        const auto ra = read_side(c.a, read), rb = read_side(c.b, read);
        if (!ra || !rb) return std::nullopt;
        const double floor = 0.5 * (ra->level - ra->prominence + rb->level - rb->prominence);
        return Member{place, soft(ra->level, floor), soft(rb->level, floor), ra->prominence, rb->prominence};
    };
    for (const double place : places) {
        std::vector<std::vector<Member>>
            by_band;  // members of each usable band: the fundamental and its multiples
        for (const auto i : usable) {
            std::vector<Member> m;
            for (int h = 1; h <= 4; ++h) {
                const auto one = member(i, place * h);
                if (!one) break;
                if (h == 1 || std::max(one->prominence_a, one->prominence_b) >= beat_prominence)
                    m.push_back(*one);
            }
            by_band.push_back(std::move(m));
        }
        for (const std::size_t span : {std::size_t{1}, std::size_t{2}, std::size_t{3}})
            for (std::size_t first = 0; first + span <= usable.size(); ++first) {
                std::vector<Member> alone, family;
                bool stands_out = false;
                for (std::size_t i = first; i < first + span; ++i) {
                    for (const auto& m : by_band[i]) {
                        family.push_back(m);
                        stands_out =
                            stands_out || std::max(m.prominence_a, m.prominence_b) >= beat_prominence;
                    }
                    if (!by_band[i].empty()) alone.push_back(by_band[i].front());
                }
                if (!stands_out) continue;
                const double low = c.a.front().portrait->beats[usable[first]].low.value();
                const double high = c.a.front().portrait->beats[usable[first + span - 1]].high.value();
                add_family(c, CellKind::beat, place, low, high, alone, c.spread.beat);
                if (family.size() > alone.size())
                    add_family(c, CellKind::beat, place, low, high, family, c.spread.beat);
            }
    }
}

}  // namespace

std::vector<Cell> cells_of(const std::vector<Take>& a, const std::vector<Take>& b, const CommonRange& range,
                           const Alignment& alignment, const SpreadModel& spread, double spread_factor) {
    std::vector<Cell> cells;
    const Context c{a, b, range, alignment, spread, spread_factor, cells};
    if (range.high > range.low) {
        add_bands(c, 1.0 / 3.0, 1.0 / 6.0, spread.band_third);
        add_bands(c, 1.0, 1.0 / 3.0, spread.band_octave);
        add_bands(c, 2.0, 1.0 / 3.0, spread.band_two);
        add_bumps(c, 1.0 / 12.0);
        add_bumps(c, 1.0 / 6.0);
        add_tones(c, false);
    }
    if (range.ratio_high > range.ratio_low) {
        add_tones(c, true);
        add_beats(c);
    }
    return cells;
}

void judge(std::vector<Cell>& cells) {
    for (auto& c : cells) c.p = std::erfc(std::abs(c.change) / c.error / std::sqrt(2.0));
    std::vector<std::size_t> order(cells.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(),
              [&](std::size_t i, std::size_t j) { return cells[i].p > cells[j].p; });
    double least = 1.0;
    for (std::size_t rank = 0; rank < order.size(); ++rank) {
        const auto m = static_cast<double>(order.size());
        least = std::min(least, cells[order[rank]].p * m / (m - static_cast<double>(rank)));
        cells[order[rank]].q = least;
    }
}

}  // namespace cranknote
