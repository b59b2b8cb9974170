#include "compare/character.hpp"

#include <algorithm>
#include <cmath>

#include "portrait/features.hpp"

namespace cranknote {

namespace {

constexpr double sharper = 2.0;  // dB

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

/// Bands of a portrait that overlap a finding's, and the beat that stands out most there.
struct Beat {
    double ratio = 0.0, prominence = 0.0;
    std::size_t band = 0;
};

Beat strongest_beat(const Portrait& p, Hertz low, Hertz high) {
    Beat best;
    for (std::size_t i = 0; i < p.beats.size(); ++i) {
        const auto& b = p.beats[i];
        if (b.low >= high || b.high <= low) continue;
        const auto peaks = peaks_of(b.power, b.floor, b.step, std::max(0.12, 4.0 * b.step), 8.0, 1);
        if (!peaks.empty() && peaks.front().prominence > best.prominence)
            best = {peaks.front().place, peaks.front().prominence, i};
    }
    return best;
}

void describe_beat(Finding& f, double place, const std::vector<Take>& loud) {
    double fundamental = 0.0, rest = 0.0;
    int count = 0;
    std::size_t best_band = 0;
    double best = -1.0;
    const Portrait& p = *loud.front().portrait;
    for (std::size_t i = 0; i < p.beats.size(); ++i) {
        const auto& b = p.beats[i];
        if (b.low >= f.high || b.high <= f.low) continue;
        const auto r = beat_level(b, place, 0.006);
        if (r && r->prominence > best) best = r->prominence, best_band = i;
    }
    if (best < 0.0) return;
    const auto& b = p.beats[best_band];
    if (const auto r = beat_level(b, place, 0.006)) fundamental = r->level.value();
    for (int h = 2; h <= 4; ++h)
        if (const auto r = beat_level(b, place * h, 0.006)) rest += r->level.value(), ++count;
    const double fall = count > 0 ? fundamental - rest / count : 20.0;
    f.character = fall < 5.0 ? Character::tick : Character::scrape;
    // The rms of a fully swelling amplitude (1 + cos) is 0.71 of its mean.
    f.beat_depth = std::clamp(std::pow(10.0, fundamental / 20.0) / 0.707, 0.0, 1.0);
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

void describe(Finding& f, const Cell& head, const std::vector<Take>& loud) {
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
            f.follows = f.character == Character::tone ? Follows::free : Follows::unknown;
            if (f.character == Character::tone && p.speed.mean)
                f.ratio = ratio_of(Hertz{std::sqrt(head.low * head.high)}, *p.speed.mean),
                f.ratio_error = 0.03;
            break;
        case CellKind::beat:
            f.follows = Follows::unknown;
            describe_beat(f, head.place, loud);
            break;
        case CellKind::band: {
            f.character = Character::hiss;
            const Beat b = strongest_beat(p, f.low, f.high);
            if (b.prominence >= 10.0 && p.has_speed()) {
                f.beat_ratio = Ratio{b.ratio};
                describe_beat(f, b.ratio, loud);
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
