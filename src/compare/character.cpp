#include "compare/character.hpp"

#include <algorithm>
#include <cmath>

#include "portrait/features.hpp"

namespace cranknote {

namespace {

constexpr double sharper = 2.0;                 // dB
constexpr double no_line = 6.0, a_line = 10.0;  // dB over local noise, of the strongest line of a narrow band
constexpr double tick_lines =
    2.1;  // effective multiples of a beat above which it is a knock: parts most of the `tune` set

constexpr double ringing_lines = 1.75;  // the same where the band is narrow: 21 tones of `tune` lie below 1.7

/// Mean over takes of a reading's prominence; 0 where none has it.
template <class Read>
double mean_prominence(const std::vector<Take>& side, Read read) {
    double sum = 0.0;
    for (const auto& t : side) {
        const std::optional<Level> r = read(*t.portrait);
        if (r) sum += r->prominence;
    }
    return sum / static_cast<double>(side.size());
}

Follows follows_of(double on_ratio, double on_hz) {
    if (on_ratio > on_hz + sharper) return Follows::crank;
    if (on_hz > on_ratio + sharper) return Follows::fixed;
    return Follows::unknown;
}

Follows tone_follows(const std::vector<Take>& side, Hertz f, double ratio) {
    const double r =
        mean_prominence(side, [&](const Portrait& p) { return tone_level(p.tones_ratio, ratio, 0.003); });
    const double h =
        mean_prominence(side, [&](const Portrait& p) { return tone_level(p.tones_hz, f.value(), 0.003); });
    return follows_of(r, h);
}

/// What a narrow band's pitch goes with: the spectrum in which its strongest line is sharper, if it has one.
/// Without a line in either it wanders by itself.
Follows bump_follows(const std::vector<Take>& side, const Finding& f) {
    const auto& p = *side.front().portrait;
    const double middle = std::sqrt(f.low.value() * f.high.value()), reach = f.high.value() / middle - 1.0;
    const auto& t = p.tones_hz;
    if (!p.has_speed() || f.high.value() > static_cast<double>(t.power.size()) * t.step)
        return Follows::unknown;
    const double on_ratio = mean_prominence(side, [&](const Portrait& q) {
        return tone_level(q.tones_ratio, middle * 60.0 / q.speed.mean->value(), reach);
    });
    const double on_hz =
        mean_prominence(side, [&](const Portrait& q) { return tone_level(q.tones_hz, middle, reach); });
    if (std::max(on_ratio, on_hz) < no_line) return Follows::free;
    return std::max(on_ratio, on_hz) > a_line ? follows_of(on_ratio, on_hz) : Follows::unknown;
}

/// A narrow band's ratio: that of its strongest line where it follows the crank, else its middle's.
void take_ratio(Finding& f, const std::vector<Take>& side) {
    const auto& p = *side.front().portrait;
    const double low = ratio_of(f.low, *p.speed.mean).value(), high = ratio_of(f.high, *p.speed.mean).value();
    f.ratio = Ratio{std::sqrt(low * high)}, f.ratio_error = 0.03;
    if (f.follows != Follows::crank) return;
    const auto& t = p.tones_ratio;
    for (const auto& k : peaks_of(t.power, t.floor, t.step, low, a_line, t.power.size()))
        if (k.place < high) {  // strongest first
            f.ratio = Ratio{k.place}, f.ratio_error = 0.0006;
            return;
        }
}

/// Mean-square swelling at a place in a carrier band, mean over takes; absolute: of the band's power.
double swelling(const std::vector<Take>& side, std::size_t band, double place, bool absolute) {
    double sum = 0.0;
    for (const auto& t : side) {
        if (band >= t.portrait->beats.size()) return 0.0;
        const auto& b = t.portrait->beats[band];
        const auto r = beat_level(b, place, 0.006);
        if (!r) return 0.0;
        const double floor = std::pow(10.0, (r->level.value() - r->prominence) / 10.0);
        const double own = std::max(0.0, std::pow(10.0, r->level.value() / 10.0) - floor);
        sum += own * (absolute ? b.power_mean : 1.0);
    }
    return sum / static_cast<double>(side.size());
}

/// What the loud side swells more than the quiet one, relative to the loud side's band.
double excess(const std::vector<Take>& loud, const std::vector<Take>& quiet, std::size_t band, double place) {
    if (&loud == &quiet) return swelling(loud, band, place, false);
    return std::max(0.0, swelling(loud, band, place, false) - swelling(quiet, band, place, false));
}

bool overlaps(const BeatSpectrum& b, Hertz low, Hertz high) { return b.low < high && b.high > low; }

struct Beat {
    double place = 0.0, prominence = 0.0;
};

/// The beat of a band that stands out most and is most of it the loud side's own.
Beat own_beat(const std::vector<Take>& loud, const std::vector<Take>& quiet, Hertz low, Hertz high,
              double least_prominence) {
    Beat best;
    const Portrait& p = *loud.front().portrait;
    for (std::size_t i = 0; i < p.beats.size(); ++i) {
        const auto& b = p.beats[i];
        if (!overlaps(b, low, high)) continue;
        for (const auto& k :
             peaks_of(b.power, b.floor, b.step, std::max(0.12, 4.0 * b.step), least_prominence, 8))
            if (k.prominence > best.prominence &&
                excess(loud, quiet, i, k.place) > 0.6 * swelling(loud, i, k.place, false))
                best = {k.place, k.prominence};
    }
    return best;
}

/// Over how many multiples the swelling spreads (participation ratio of the first eight).
double lines_of(const std::vector<double>& e) {
    double sum = 0.0, squares = 0.0;
    for (const double v : e) sum += v, squares += v * v;
    return squares > 0.0 ? sum * sum / squares : 1.0;
}

/// Narrows a beat's band to the carriers that hold most of its sound: those in which it is mostly the loud
/// side's own, within 10 dB of the loudest of them.
void narrow_to_carriers(Finding& f, double place, const std::vector<Take>& loud,
                        const std::vector<Take>& quiet) {
    const auto& beats = loud.front().portrait->beats;
    std::vector<double> power(beats.size(), 0.0);
    double most = 0.0;
    for (std::size_t i = 0; i < beats.size(); ++i) {
        if (!overlaps(beats[i], f.low, f.high)) continue;
        for (int h = 1; h <= 4; ++h) {
            const double e = excess(loud, quiet, i, place * h);
            if (e > 0.5 * swelling(loud, i, place * h, false)) power[i] += e * beats[i].power_mean;
        }
        most = std::max(most, power[i]);
    }
    if (most <= 0.0) return;
    Hertz low{1e9}, high{0.0};
    for (std::size_t i = 0; i < beats.size(); ++i)
        if (power[i] > 0.1 * most) low = std::min(low, beats[i].low), high = std::max(high, beats[i].high);
    f.low = std::max(f.low, low), f.high = std::min(f.high, high);
}

void describe_beat(Finding& f, double place, const std::vector<Take>& loud, const std::vector<Take>& quiet) {
    const Portrait& p = *loud.front().portrait;
    std::size_t best_band = 0;
    double best = -1.0;
    std::vector<double> multiples(8, 0.0);
    for (std::size_t i = 0; i < p.beats.size(); ++i) {
        if (!overlaps(p.beats[i], f.low, f.high)) continue;
        double here = 0.0;
        for (std::size_t h = 0; h < multiples.size(); ++h) {
            const double e = excess(loud, quiet, i, place * static_cast<double>(h + 1));
            multiples[h] += e, here += e;
        }
        if (here > best) best = here, best_band = i;
    }
    if (best < 0.0) return;
    f.beat_lines = lines_of(multiples);
    f.character = f.beat_lines >= tick_lines ? Character::tick : Character::scrape;
    // The rms of a fully swelling amplitude (1 + cos) is 0.71 of its mean.
    f.beat_depth = std::clamp(std::sqrt(swelling(loud, best_band, place, false)) / 0.707, 0.0, 1.0);
    const double turns = p.duration.value() * p.speed.mean->value() / 60.0;
    f.beat_error = std::max(0.001, 0.35 / (turns * place));
    const double on_ratio = mean_prominence(loud, [&](const Portrait& q) {
        return best_band < q.beats.size() ? beat_level(q.beats[best_band], place, 0.006) : std::nullopt;
    });
    const double on_hz = mean_prominence(loud, [&](const Portrait& q) {
        return best_band < q.beats_hz.size()
                   ? beat_level(q.beats_hz[best_band], place * q.speed.mean->value() / 60.0, 0.01)
                   : std::nullopt;
    });
    f.beat_follows = follows_of(on_ratio, on_hz);
}

/// Share of the time in which a band is within 3 dB of its own loud quarter, for sounds that come and go by
/// seconds.
double presence_in(const Portrait& p, Hertz low, Hertz high) {
    double present = 1.0;
    for (std::size_t i = 0; i < p.series.size(); ++i) {
        if (p.series_bands[i].first >= high || p.series_bands[i].second <= low) continue;
        const auto& s = p.series[i];
        const auto width = static_cast<std::size_t>(std::max(1.0, 0.5 * p.series_rate));
        std::vector<double> level;
        for (std::size_t j = 0; j + width <= s.size(); j += width) {
            double sum = 0.0;
            for (std::size_t k = 0; k < width; ++k)
                sum += std::pow(10.0, static_cast<double>(s[j + k]) / 10.0);
            level.push_back(10.0 * std::log10(sum / static_cast<double>(width)));
        }
        if (level.size() < 8) continue;
        auto sorted = level;
        std::sort(sorted.begin(), sorted.end());
        const double loud = sorted[sorted.size() * 17 / 20], quiet = sorted[sorted.size() * 3 / 20];
        if (loud - quiet < 3.0) continue;  // steady, as far as can be told
        const double middle = 0.5 * (loud + quiet);
        const auto above = std::count_if(level.begin(), level.end(), [&](double v) { return v > middle; });
        present = std::min(present, static_cast<double>(above) / static_cast<double>(level.size()));
    }
    return present;
}

}  // namespace

void describe(Finding& f, const Cell& head, const std::vector<Take>& loud, const std::vector<Take>& quiet) {
    const Portrait& p = *loud.front().portrait;
    switch (head.kind) {
        case CellKind::tone_ratio:
        case CellKind::tone_hz:
            f.character = Character::tone;
            f.follows = f.ratio ? tone_follows(loud, Hertz{head.low}, f.ratio->value()) : Follows::unknown;
            break;
        case CellKind::bump:
            f.character =
                head.prominence_a > 4.0 || head.prominence_b > 4.0 ? Character::tone : Character::hiss;
            f.follows = f.character == Character::tone ? bump_follows(loud, f) : Follows::unknown;
            if (f.character == Character::tone && p.speed.mean) take_ratio(f, loud);
            if (p.has_speed()) {  // a chirp: a tone of its own that comes and goes with something that turns
                const Beat own = own_beat(loud, quiet, f.low, f.high, 7.0);
                if (own.prominence > 0.0) {
                    const auto tonal = f.character;
                    f.beat_ratio = Ratio{own.place};
                    describe_beat(f, own.place, loud, quiet);
                    // A chirp is a tone that comes and goes; a knock that rings swells over several
                    // multiples.
                    if (tonal == Character::tone)
                        f.character = f.beat_lines < ringing_lines ? tonal : Character::tick;
                }
            }
            break;
        case CellKind::beat:
            f.follows = Follows::unknown;
            f.beat_changed = true;
            narrow_to_carriers(f, f.beat_ratio->value(), loud, quiet);
            describe_beat(f, f.beat_ratio->value(), loud, quiet);
            break;
        case CellKind::band: {
            f.character = Character::hiss;
            if (!p.has_speed()) break;
            const Beat b = own_beat(loud, quiet, f.low, f.high, 10.0);
            if (b.prominence > 0.0) {
                f.beat_ratio = Ratio{b.place};
                describe_beat(f, b.place, loud, quiet);
            }
            break;
        }
    }
    const double present = presence_in(p, f.low, f.high);
    f.presence = head.change < 0.0
                     ? std::array<double, 2>{present, f.verdict == Verdict::gone ? 0.0 : present}
                     : std::array<double, 2>{f.verdict == Verdict::fresh ? 0.0 : present, present};
}

bool ordinary(const Cell& c, std::optional<int> cylinders) {
    if (c.kind == CellKind::tone_ratio) {
        const double k = c.place * 2.0;
        return std::abs(k - std::round(k)) < std::max(0.05, 0.004 * k);
    }
    if (c.kind == CellKind::beat) {
        const double unit = cylinders ? *cylinders / 2.0 : 0.5;
        const double k = c.place / unit;
        return k > 0.9 && std::abs(k - std::round(k)) < 0.03 * std::max(1.0, 0.5 * k);
    }
    return false;
}

}  // namespace cranknote
