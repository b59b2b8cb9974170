#include "diagnose/retrace.hpp"

#include <algorithm>
#include <cmath>

#include "compare/spread.hpp"
#include "diagnose/through_states.hpp"
#include "portrait/features.hpp"

namespace cranknote {
namespace {

constexpr double tone_there = 9.0, beat_there = 5.0;  // dB over the local floor: as compare/ looks for them
constexpr double absent = 4.0;                        // dB: lower than this it is not heard as one
constexpr double reach = .006;                        // relative: creep of a belt from start to start

struct Place {
    double level = 0.0, prominence = 0.0;
};

std::optional<double> tone_place(const Finding& f) {
    if (f.character != Character::tone || !f.ratio) return std::nullopt;
    return f.ratio->value();
}

std::optional<Level> tone_in(const Portrait& p, double ratio) {
    if (!p.has_speed()) return std::nullopt;
    return tone_level(p.tones_ratio, ratio, reach);
}

std::optional<Level> beat_in(const Portrait& p, double ratio, std::size_t carrier) {
    if (carrier >= p.beats.size()) return std::nullopt;
    return beat_level(p.beats[carrier], ratio, reach);
}

template <class Read>
std::optional<Place> mean_over(const std::vector<Take>& side, Read read) {
    Place sum;
    for (const auto& t : side) {
        const std::optional<Level> l = read(*t.portrait);
        if (!l) return std::nullopt;
        sum.level += l->level.value();
        sum.prominence += l->prominence;
    }
    const auto n = static_cast<double>(side.size());
    return Place{sum.level / n, sum.prominence / n};
}

/// Of the carrier bands that overlap the sound, the one in which it beats most clearly; the other side is
/// read in that one too, since the best of several of its own would be chance where the beat is gone.
std::optional<std::size_t> carrier_of(const Finding& f, const std::vector<Take>& side) {
    std::optional<std::size_t> best;
    double most = 0.0;
    const auto& bands = side.front().portrait->beats;
    for (std::size_t i = 0; i < bands.size(); ++i) {
        if (bands[i].low >= f.high || bands[i].high <= f.low) continue;
        const auto there =
            mean_over(side, [&](const Portrait& p) { return beat_in(p, f.beat_ratio->value(), i); });
        if (there && (!best || there->prominence > most)) best = i, most = there->prominence;
    }
    return best;
}

double error_of(double spread, std::size_t a, std::size_t b) {
    return spread * std::sqrt(1.0 / static_cast<double>(a) + 1.0 / static_cast<double>(b));
}

void judge(Retraced& r, const Place& a, const Place& b, double there, double error) {
    const double change = b.level - a.level;
    r.change = Decibel{change};
    r.interval = {Decibel{change - 1.96 * error}, Decibel{change + 1.96 * error}};
    if (a.prominence < there) return;  // not heard on the first side: nothing to follow
    const bool fell = change < -1.96 * error;
    if (b.prominence < std::max(absent, .25 * a.prominence)) {
        if (fell) r.verdict = Verdict::gone;
        return;
    }
    if (fell)
        r.verdict = Verdict::weaker;
    else if (change > 1.96 * error)
        r.verdict = Verdict::stronger;
    else if (b.prominence >= absent)
        r.verdict = Verdict::there;
}

/// A band without tone or beat: gone cannot be read from its level alone, weaker can.
void judge_band(Retraced& r, double change, double error) {
    r.change = Decibel{change};
    r.interval = {Decibel{change - 1.96 * error}, Decibel{change + 1.96 * error}};
    if (change < -1.96 * error)
        r.verdict = change < -5.0 ? Verdict::gone : Verdict::weaker;
    else if (change > 1.96 * error)
        r.verdict = Verdict::stronger;
    else if (std::abs(change) < error)
        r.verdict = Verdict::there;
}

Retraced read_again(const Finding& f, const Comparison& comparison, const std::vector<Take>& a,
                    const std::vector<Take>& b, const CompareSettings& how) {
    Retraced r;
    const auto& spread = how.same_placement ? untouched_spread() : moved_spread();
    const auto both = [&](auto read, double there, double one) {
        const auto x = mean_over(a, read), y = mean_over(b, read);
        if (x && y) judge(r, *x, *y, there, error_of(one, a.size(), b.size()));
        return x.has_value() && y.has_value();
    };
    if (const auto k = tone_place(f)) {
        both([&](const Portrait& p) { return tone_in(p, *k); }, tone_there, spread.tone);
        return r;
    }
    const auto carrier = f.beat_ratio ? carrier_of(f, a) : std::nullopt;
    if (carrier && both([&](const Portrait& p) { return beat_in(p, f.beat_ratio->value(), *carrier); },
                        beat_there, spread.beat))
        return r;
    const auto band = [&](const Portrait& p) { return band_level(p, f.low, f.high); };
    const auto x = mean_over(a, band), y = mean_over(b, band);
    if (x && y)
        judge_band(r, y->level - x->level - comparison.level_offset.value(),
                   error_of(spread.band_octave, a.size(), b.size()));
    return r;
}

bool near(std::optional<Ratio> a, std::optional<Ratio> b) {
    return a && b && std::abs(a->value() / b->value() - 1.0) < .015;  // a beat's width in 10 s
}

/// How well a comparison's finding is this sound: the very ratio before a multiple of it, what was flagged
/// before what was not, then the larger change.
double likeness(const Finding& sound, const Finding& f) {
    const bool same = near(sound.beat_ratio, f.beat_ratio) ||
                      (!sound.beat_ratio && sound.character == f.character && near(sound.ratio, f.ratio));
    return (same ? 1000.0 : 0.0) + (f.flagged ? 100.0 : 0.0) +
           (f.change ? std::min(99.0, std::abs(f.change->value())) : 0.0);
}

const Finding* found_again(const Finding& sound, const Comparison& comparison) {
    const Finding* best = nullptr;
    for (const auto& f : comparison.findings)
        if (same_sound(sound, f) && (!best || likeness(sound, f) > likeness(sound, *best))) best = &f;
    return best;
}

}  // namespace

Retraced retrace(const Finding& sound, const Comparison& comparison, const std::vector<Take>& a,
                 const std::vector<Take>& b, const CompareSettings& how) {
    if (!comparison.comparable.hz && !comparison.comparable.ratio) return {};
    if (const auto* f = found_again(sound, comparison)) {
        // The sound was there as found, so it cannot be new.
        const auto verdict = f->verdict == Verdict::fresh ? Verdict::stronger : f->verdict;
        if (verdict != Verdict::cannot_tell) return {verdict, f->change, f->interval};
    }
    return read_again(sound, comparison, a, b, how);
}

Finding retraced_from(std::optional<Ratio> ratio, std::optional<Ratio> beat_ratio,
                      const std::optional<std::pair<Hertz, Hertz>>& hz, const std::vector<Take>& takes) {
    Finding f;
    f.id = "f1";
    const Portrait& p = *takes.front().portrait;
    const double turns = p.speed.mean ? p.speed.mean->value() / 60.0 : 0.0;
    if (hz) f.low = hz->first, f.high = hz->second;
    if (ratio && !beat_ratio) {
        const auto tone = tone_in(p, ratio->value());
        if (tone && tone->prominence >= tone_there) {
            f.character = Character::tone;
            f.ratio = ratio;
            f.ratio_error = .003;
            f.prominence = tone->prominence;
            f.axis = Axis::ratio;
            f.follows = Follows::crank;
            f.low = Hertz{ratio->value() * turns * .994}, f.high = Hertz{ratio->value() * turns * 1.006};
        } else {
            beat_ratio = ratio;
        }
    }
    if (beat_ratio) {
        f.beat_ratio = beat_ratio;
        f.beat_error = .01;
        f.character = Character::scrape;
        f.axis = Axis::ratio;
        double best = 0.0;
        for (const auto& band : p.beats) {
            const auto l = beat_level(band, beat_ratio->value(), reach);
            if (!l || l->prominence <= best) continue;
            best = l->prominence;
            f.low = band.low, f.high = band.high;
        }
        f.prominence = best;
    }
    if (f.high > f.low)
        if (const auto l = level_in(f, takes.front())) f.a = l;
    return f;
}

std::optional<Decibel> level_in(const Finding& sound, const Take& take) {
    if (const auto k = tone_place(sound))
        if (const auto l = tone_in(*take.portrait, *k)) return l->level;
    const auto l = band_level(*take.portrait, sound.low, sound.high);
    return l ? std::optional(l->level) : std::nullopt;
}

bool same_sound(const Finding& a, const Finding& b) {
    auto x = a, y = b;
    x.verdict = y.verdict = Verdict::there;  // what became of it is not asked
    const bool overlap = a.low < b.high && b.low < a.high;
    const bool tone_a = a.character == Character::tone, tone_b = b.character == Character::tone;
    if (tone_a && tone_b && !(a.ratio && b.ratio)) return overlap;
    if (!tone_a && !tone_b && !(a.beat_ratio && b.beat_ratio)) return overlap;
    return alike(x, y);
}

}  // namespace cranknote
