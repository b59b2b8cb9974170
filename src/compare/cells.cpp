#include "compare/cells.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "portrait/features.hpp"
#include "signal/discovery.hpp"
#include "signal/distribution.hpp"
#include "signal/special.hpp"

namespace cranknote {

namespace {

constexpr double tone_prominence =
    9.0;  // dB over local noise before a line is looked at (ECMA-418-1 asks 8 above 1 kHz)
constexpr double beat_prominence = 5.0;  // dB over a steady band's own scatter
// Uneven cylinders, and tones that beat with each other where carriers are tonal, swell every engine by this
// much, differently at every place: 95 % of healthy lines of the `tune` set's engines lie lower.
constexpr double slight_swelling = -26.0, slight_swelling_tonal = -20.0;  // dB
constexpr double tonal_carrier = 1500.0;                                  // Hz
constexpr double nearly_as_far = 8.0;  // dB: carrier bands that show a beat almost as well as the best
constexpr std::size_t tones_per_take = 40, beats_per_band = 16;
constexpr double tone_tolerance = 0.004,
                 beat_tolerance = 0.006;  // relative: creep of a belt from start to start

constexpr double db_of_nat = 4.342944819;  // dB for a factor e in power

/// Over how many independent places of the room's interference a band's power spreads: one for a single line,
/// many for noise. Participation ratio of the lines, in steps of the room's coherence.
double independent_places(const Portrait& p, double low, double high, double coherence_hz) {
    const auto& d = p.hz.density;
    const auto from = static_cast<std::size_t>(low / p.hz.step);
    const auto to = std::min(d.size(), static_cast<std::size_t>(high / p.hz.step) + 2);
    double sum = 0.0, squares = 0.0;
    for (std::size_t k = from; k < to; ++k) {
        const auto v = static_cast<double>(d[k]);
        sum += v, squares += v * v;
    }
    if (squares <= 0.0) return 1.0;
    return std::max(1.0, sum * sum / squares * p.hz.step / coherence_hz);
}

/// A line swept by the wander of the idle passes many places of the room's interference.
double swept_places(const Portrait& p, double hertz, double coherence_hz) {
    return 1.0 + 2.0 * p.rpm_spread * hertz / coherence_hz;
}

/// Two-sided chance of such a change. Powers of n independent places on either side: their ratio is F
/// distributed with 2n, 2n.
double by_chance(double change, double error) {
    const double n =
        std::clamp(signal::trigamma_inverse(0.5 * error * error / (db_of_nat * db_of_nat)), 0.3, 2000.0);
    const double ratio = std::pow(10.0, std::abs(change) / 10.0);
    return std::min(1.0, 2.0 * signal::survival(signal::FisherF{2.0 * n, 2.0 * n}, ratio));
}

struct SideReading {
    double level = 0.0, prominence = 0.0;
    double within = 0.0;    ///< variance of the side's mean from unsteadiness within its takes
    double fading = 0.0;    ///< variance of the side's mean from the room's interference
    std::size_t takes = 0;  ///< how many
};

/// Variance in dB² of the mean power of `n` independent exponentials: the room's interference.
double fading_of(double n) { return db_of_nat * db_of_nat * signal::trigamma(n); }

struct Context {
    const std::vector<Take>& a;
    const std::vector<Take>& b;
    const CommonRange& range;
    const Alignment& alignment;
    const SpreadModel& spread;
    double factor;
    double speeds_apart;  ///< relative
    std::vector<Cell>& out;
};

/// Mean over a side's takes; absent if any take does not hold it. `places` says over how many independent
/// places of the room a take's reading spreads.
template <class Read, class Places>
std::optional<SideReading> read_side(const std::vector<Take>& side, Read read, Places places) {
    SideReading r;
    for (const auto& t : side) {
        const std::optional<Level> one = read(*t.portrait);
        if (!one) return std::nullopt;
        r.level += one->level.value(), r.prominence += one->prominence;
        r.within += one->within * one->within, r.fading += fading_of(places(*t.portrait));
    }
    r.takes = side.size();
    const auto n = static_cast<double>(r.takes);
    r.level /= n, r.prominence /= n, r.within /= n * n, r.fading /= n * n;
    return r;
}

double speeds_apart(const std::vector<Take>& a, const std::vector<Take>& b) {
    const auto mean_speed = [](const std::vector<Take>& side) {
        double sum = 0.0;
        for (const auto& t : side) sum += t.portrait->speed.mean ? t.portrait->speed.mean->value() : 0.0;
        return sum / static_cast<double>(side.size());
    };
    const double na = mean_speed(a), nb = mean_speed(b);
    return na > 0.0 && nb > 0.0 ? std::abs(nb / na - 1.0) : 0.02;
}

/// Standard deviation of a difference when nothing changed: the kind's own spread from take to take, the
/// room's interference at this pitch, and unsteadiness within the takes. The interference stays the same
/// where the phone was untouched and the pitch moved by less than the room's coherence.
double error_of(const Context& c, double own, double hertz, const SideReading& a, const SideReading& b,
                double share = 1.0) {
    const double per_take = 1.0 / static_cast<double>(a.takes) + 1.0 / static_cast<double>(b.takes);
    const double moved = 3.0 * hertz * c.speeds_apart / c.spread.coherence_hz;  // single modes are narrower
    const double changed = c.spread.untouched ? moved * moved / (1.0 + moved * moved) : 1.0;
    return std::sqrt(c.factor * c.factor *
                         (own * own * per_take + share * c.spread.fading * changed * (a.fading + b.fading)) +
                     a.within + b.within);
}

double soft(double level, double floor) {
    return 10.0 * std::log10(std::pow(10.0, level / 10.0) + std::pow(10.0, floor / 10.0));
}

/// The smaller of two changes if they agree in sign, else none: a tone or beat changed only if it did so
/// both against its surroundings and by itself. When a loud hiss goes, what it hid has not changed.
double both_changed(double x, double y) {
    if ((x < 0.0) != (y < 0.0)) return 0.0;
    return std::abs(x) < std::abs(y) ? x : y;
}

void add_bands(const Context& c, double octaves, double hop, double spread, double weight) {
    const double width = std::exp2(octaves);
    const double first = std::max(88.4, c.range.low.value());
    for (double low = first; low * width <= c.range.high.value() * 1.001; low *= std::exp2(hop)) {
        const Hertz lo{low}, hi{low * width};
        const auto read = [&](const Portrait& p) { return band_level(p, lo, hi); };
        const auto places = [&](const Portrait& p) {
            return independent_places(p, low, low * width, c.spread.coherence_hz);
        };
        const auto ra = read_side(c.a, read, places), rb = read_side(c.b, read, places);
        if (!ra || !rb) continue;
        Cell cell;
        cell.kind = CellKind::band, cell.low = low, cell.high = low * width, cell.weight = weight;
        cell.a = ra->level, cell.b = rb->level;
        const double middle = low * std::sqrt(width);
        cell.change = rb->level - ra->level - c.alignment.at(Hertz{middle});
        cell.error = error_of(c, spread, middle, *ra, *rb);
        c.out.push_back(cell);
    }
}

void add_bumps(const Context& c, double octaves, double weight) {
    const double width = std::exp2(octaves);
    for (double low = std::max(250.0, c.range.low.value()); low * width <= c.range.high.value();
         low *= width) {
        const Hertz lo{low}, hi{low * width};
        const auto read = [&](const Portrait& p) { return bump_level(p, lo, hi); };
        const auto places = [&](const Portrait& p) {
            return independent_places(p, low, low * width, c.spread.coherence_hz);
        };
        const auto ra = read_side(c.a, read, places), rb = read_side(c.b, read, places);
        if (!ra || !rb) continue;
        Cell cell;
        cell.kind = CellKind::bump, cell.low = low, cell.high = low * width, cell.weight = weight;
        cell.a = ra->level, cell.b = rb->level, cell.prominence_a = ra->prominence,
        cell.prominence_b = rb->prominence;
        const double middle = low * std::sqrt(width);
        const auto level = [&](const std::vector<Take>& side) {
            double sum = 0.0;
            for (const auto& t : side) sum += band_level(*t.portrait, lo, hi)->level.value();
            return sum / static_cast<double>(side.size());
        };
        cell.change =
            both_changed(rb->level - ra->level, level(c.b) - level(c.a) - c.alignment.at(Hertz{middle}));
        cell.error = error_of(c, c.spread.bump, middle, *ra, *rb);
        if (cell.change < 0.0)
            cell.loud = cell.prominence_a, cell.left = cell.prominence_b;
        else
            cell.loud = cell.prominence_b, cell.left = cell.prominence_a;
        c.out.push_back(cell);
    }
}

/// Places that stand out on either side, nearer ones than `apart` (relative) or `resolution` (absolute) once.
template <class PeaksOf>
std::vector<double> candidates(const Context& c, double apart, double resolution, PeaksOf peaks) {
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
        if (std::none_of(places.begin(), places.end(), [&](double q) {
                const double near = std::min(resolution, 0.06 * p.place);  // slow beats lie close
                return std::abs(q - p.place) < std::max(apart * p.place, near);
            }))
            places.push_back(p.place);
    return places;
}

struct Member {
    double place, a, b, prominence_a, prominence_b;
    double change;    ///< dB, aligned
    double variance;  ///< of it when nothing changed
};

/// One cell of a family of places. A share of the members' variance is common to all of them.
void add_family(const Context& c, CellKind kind, double place, double low, double high,
                const std::vector<Member>& members, double weight) {
    if (members.empty()) return;
    Cell cell;
    cell.kind = kind, cell.place = place, cell.low = low, cell.high = high, cell.weight = weight;
    double variance = 0.0;
    for (const auto& m : members) {
        const auto n = static_cast<double>(members.size());
        cell.a += m.a / n, cell.b += m.b / n, cell.change += m.change / n, variance += m.variance / n;
        cell.prominence_a = std::max(cell.prominence_a, m.prominence_a),
        cell.prominence_b = std::max(cell.prominence_b, m.prominence_b);
        if (std::none_of(cell.members.begin(), cell.members.end(),
                         [&](double q) { return std::abs(q / m.place - 1.0) < 1e-3; }))
            cell.members.push_back(m.place);
    }
    const bool fell = cell.change < 0.0;
    for (const auto& m : members) {
        const double loud = fell ? m.prominence_a : m.prominence_b;
        if (loud > cell.loud) cell.loud = loud, cell.left = fell ? m.prominence_b : m.prominence_a;
    }
    const double n = static_cast<double>(members.size());
    const double shared = c.spread.common;
    cell.error = std::sqrt(variance * (shared + (1.0 - shared) / n));
    c.out.push_back(cell);
}

void add_tones(const Context& c, bool ratio) {
    const auto spectrum = [&](const Portrait& p) -> const ToneSpectrum& {
        return ratio ? p.tones_ratio : p.tones_hz;
    };
    const double hz_per_unit = ratio ? c.a.front().portrait->speed.mean->value() / 60.0 : 1.0;
    const double first = ratio ? std::max(2.0, c.range.ratio_low) : std::max(100.0, c.range.low.value());
    const double last = ratio ? c.range.ratio_high : c.range.high.value();
    const auto places = candidates(c, 0.004, 0.0, [&](const Portrait& p) {
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
        const double hertz = place * hz_per_unit;
        const auto swept = [&](const Portrait& p) {
            return ratio ? swept_places(p, hertz, c.spread.coherence_hz) : 1.0;
        };
        const auto ra = read_side(c.a, read, swept), rb = read_side(c.b, read, swept);
        if (!ra || !rb) return std::nullopt;
        Member m{
            place, soft(ra->prominence, 0.0), soft(rb->prominence, 0.0), ra->prominence, rb->prominence, 0.0,
            0.0};
        const double shift = c.alignment.at(Hertz{std::max(20.0, hertz)});
        m.change = both_changed(m.b - m.a, rb->level - ra->level - shift);
        const double error = error_of(c, c.spread.tone, hertz, *ra, *rb);
        m.variance = error * error;
        return m;
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
                           place * hz_per_unit, family, 1.0);
        }
    }
}

/// One beat in all carrier bands where it stands out nearly as far as in its best one: alone, and with its
/// multiples. Which bands these are is settled by both sides alike, so that it says nothing of the change.
template <class MemberOf>
void add_beat(const Context& c, const std::vector<std::size_t>& bands, double place, MemberOf member) {
    const auto prominence = [](const Member& m) { return std::max(m.prominence_a, m.prominence_b); };
    std::vector<std::pair<std::size_t, Member>> fundamental;
    double best = beat_prominence;
    for (const auto i : bands)
        if (const auto m = member(i, place)) {
            fundamental.emplace_back(i, *m);
            best = std::max(best, prominence(*m));
        }
    std::vector<Member> alone, family;
    double low = 1e9, high = 0.0;
    for (const auto& [i, m] : fundamental) {
        if (prominence(m) < std::max(beat_prominence, best - nearly_as_far)) continue;
        alone.push_back(m), family.push_back(m);
        const auto& carrier = c.a.front().portrait->beats[i];
        low = std::min(low, carrier.low.value()), high = std::max(high, carrier.high.value());
        for (int h = 2; h <= 4; ++h) {
            const auto multiple = member(i, place * h);
            if (multiple && prominence(*multiple) >= beat_prominence) family.push_back(*multiple);
        }
    }
    add_family(c, CellKind::beat, place, low, high, alone, 1.0);
    if (family.size() > alone.size()) add_family(c, CellKind::beat, place, low, high, family, 1.0);
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
    const double resolution = 0.75 * c.a.front().portrait->beats[usable.front()].width;  // a Hann line's half
    const auto places = candidates(c, 0.012, resolution, [&](const Portrait& p) {
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
        const auto& carrier = c.a.front().portrait->beats[band];
        const double low = carrier.low.value(), high = carrier.high.value();
        const auto spreads = [&](const Portrait& p) {
            return independent_places(p, low, high, c.spread.coherence_hz);
        };
        const auto ra = read_side(c.a, read, spreads), rb = read_side(c.b, read, spreads);
        if (!ra || !rb) return std::nullopt;
        const double floor = std::max(0.5 * (ra->level - ra->prominence + rb->level - rb->prominence),
                                      high < tonal_carrier ? slight_swelling_tonal : slight_swelling);
        const auto carried = [&](const std::vector<Take>& side) {
            double sum = 0.0;
            for (const auto& t : side)
                sum += 10.0 * std::log10(std::max(1e-20, t.portrait->beats[band].power_mean));
            return sum / static_cast<double>(side.size());
        };
        const double middle = std::sqrt(low * high);
        Member m{place, soft(ra->level, floor), soft(rb->level, floor), ra->prominence, rb->prominence, 0.0,
                 0.0};
        const double relative = m.b - m.a;
        m.change =
            both_changed(relative, relative + carried(c.b) - carried(c.a) - c.alignment.at(Hertz{middle}));
        const double error = error_of(c, c.spread.beat, middle, *ra, *rb, c.spread.beat_share);
        m.variance = error * error;
        return m;
    };
    for (const double place : places) add_beat(c, usable, place, member);
}

}  // namespace

std::vector<Cell> cells_of(const std::vector<Take>& a, const std::vector<Take>& b, const CommonRange& range,
                           const Alignment& alignment, const SpreadModel& spread, double spread_factor) {
    std::vector<Cell> cells;
    const Context c{a, b, range, alignment, spread, spread_factor, speeds_apart(a, b), cells};
    if (range.high > range.low) {
        add_bands(c, 1.0 / 3.0, 1.0 / 3.0, spread.band_third, 0.5);
        add_bands(c, 1.0, 1.0 / 3.0, spread.band_octave, 1.5);
        add_bands(c, 2.0, 1.0 / 3.0, spread.band_two, 1.5);
        add_bumps(c, 1.0 / 6.0, 0.5);
        add_tones(c, false);
    }
    if (range.ratio_high > range.ratio_low) {
        add_tones(c, true);
        add_beats(c);
    }
    return cells;
}

std::optional<double> ChanceOf::third(double low, double high) const {
    const auto read = [&](const Portrait& p) { return band_level(p, Hertz{low}, Hertz{high}); };
    const auto places = [&](const Portrait& p) {
        return independent_places(p, low, high, spread.coherence_hz);
    };
    const auto ra = read_side(a, read, places), rb = read_side(b, read, places);
    if (!ra || !rb) return std::nullopt;
    const CommonRange range;
    const Alignment alignment;
    std::vector<Cell> none;
    const Context c{a, b, range, alignment, spread, spread_factor, speeds_apart(a, b), none};
    return error_of(c, spread.band_third, std::sqrt(low * high), *ra, *rb);
}

std::optional<double> ChanceOf::line(double at) const {
    const double hertz = at * a.front().portrait->speed.mean->value() / 60.0;
    const auto read = [&](const Portrait& p) { return tone_level(p.tones_ratio, at, tone_tolerance); };
    const auto places = [&](const Portrait& p) { return swept_places(p, hertz, spread.coherence_hz); };
    const auto ra = read_side(a, read, places), rb = read_side(b, read, places);
    if (!ra || !rb) return std::nullopt;
    const CommonRange range;
    const Alignment alignment;
    std::vector<Cell> none;
    const Context c{a, b, range, alignment, spread, spread_factor, speeds_apart(a, b), none};
    return error_of(c, spread.tone, hertz, *ra, *rb);
}

std::optional<Decibel> least_octave(const std::vector<Cell>& cells, double false_discovery) {
    std::vector<double> errors;
    double weights = 0.0, weight = 0.0;
    for (const auto& c : cells) {
        weights += c.weight;
        const bool octave = c.kind == CellKind::band && std::abs(std::log2(c.high / c.low) - 1.0) <= 0.01;
        if (!octave) continue;
        errors.push_back(c.error), weight = c.weight;
    }
    if (errors.empty()) return std::nullopt;
    const auto middle = errors.begin() + static_cast<std::ptrdiff_t>(errors.size() / 2);
    std::nth_element(errors.begin(), middle, errors.end());
    const double needed = false_discovery * weight / weights;  // the strictest step of the control
    double low = 0.0, high = 60.0;
    for (int i = 0; i < 30; ++i) {
        const double at = 0.5 * (low + high);
        (by_chance(at, *middle) > needed ? low : high) = at;
    }
    return Decibel{high};
}

void judge(std::vector<Cell>& cells) {
    std::vector<double> p, weight;
    for (auto& c : cells) {
        c.p = by_chance(c.change, c.error);
        p.push_back(c.p), weight.push_back(c.weight);
    }
    const auto q = signal::weighted_benjamini_hochberg(p, weight);
    for (std::size_t i = 0; i < cells.size(); ++i) cells[i].q = q[i];
}

}  // namespace cranknote
