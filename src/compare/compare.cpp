#include "compare/compare.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "compare/align.hpp"
#include "compare/cells.hpp"
#include "compare/character.hpp"
#include "compare/findings.hpp"
#include "compare/range.hpp"
#include "compare/spread.hpp"
#include "portrait/features.hpp"

namespace cranknote {

namespace {

constexpr double far_apart = 0.25;  // relative speed difference above which equal Hz means little
constexpr double apart_said = 0.06;

std::optional<Rpm> side_speed(const std::vector<Take>& side) {
    double sum = 0.0;
    for (const auto& t : side) {
        if (!t.portrait->has_speed()) return std::nullopt;
        sum += t.portrait->speed.mean->value();
    }
    return Rpm{sum / static_cast<double>(side.size())};
}

bool usable(const Take& t) {
    return t.portrait != nullptr && !t.portrait->hz.density.empty() &&
           std::none_of(t.summary.quality.begin(), t.summary.quality.end(),
                        [](const QualityRemark& q) { return q.severity == Severity::unusable; });
}

/// Both sides over Hz in twelfth octaves; the change is what a third octave around would show.
Curve curve_over_hz(const std::vector<Take>& a, const std::vector<Take>& b, const CommonRange& r,
                    const Alignment& al, const ChanceOf& chance) {
    Curve c;
    const auto mean = [](const std::vector<Take>& side, double lo, double hi) -> std::optional<double> {
        double sum = 0.0;
        for (const auto& t : side) {
            const auto l = band_level(*t.portrait, Hertz{lo}, Hertz{hi});
            if (!l) return std::nullopt;
            sum += l->level.value();
        }
        return sum / static_cast<double>(side.size());
    };
    const double twelfth = std::exp2(1.0 / 12.0), third = std::exp2(1.0 / 3.0);
    for (double f = std::max(50.0, r.low.value()); f * twelfth <= r.high.value(); f *= twelfth) {
        const double middle = f * std::sqrt(twelfth);
        const auto la = mean(a, f, f * twelfth), lb = mean(b, f, f * twelfth);
        const double lo = std::max(r.low.value(), middle / std::sqrt(third)),
                     hi = std::min(r.high.value(), middle * std::sqrt(third));
        const auto wa = mean(a, lo, hi), wb = mean(b, lo, hi);
        const auto error = chance.third(lo, hi);
        if (!la || !lb || !wa || !wb || !error) continue;
        const double shift = al.at(Hertz{middle}), change = *wb - *wa - shift;
        c.x.push_back(middle);
        c.a.push_back(static_cast<float>(*la)), c.b.push_back(static_cast<float>(*lb - shift));
        c.change.push_back(static_cast<float>(change));
        c.low.push_back(static_cast<float>(change - 1.96 * *error)),
            c.high.push_back(static_cast<float>(change + 1.96 * *error));
    }
    return c;
}

/// Both sides over ratio, in steps of one percent or one line: the strongest line of each step.
Curve curve_over_ratio(const std::vector<Take>& a, const std::vector<Take>& b, const CommonRange& r,
                       const Alignment& al, const ChanceOf& chance) {
    Curve c;
    const auto strongest = [](const std::vector<Take>& side, double lo, double hi) {
        double sum = 0.0;
        for (const auto& t : side) {
            const auto l =
                tone_level(t.portrait->tones_ratio, 0.5 * (lo + hi), 0.5 * (hi - lo) / (0.5 * (lo + hi)));
            sum += l ? l->level.value() : -120.0;
        }
        return sum / static_cast<double>(side.size());
    };
    const double turns = a.front().portrait->speed.mean->value() / 60.0;
    const double step = a.front().portrait->tones_ratio.step;
    for (double k = std::max(0.5, r.ratio_low); k * 1.01 < r.ratio_high;) {
        const double width = std::max(2.0 * step, 0.01 * k), next = k + width;
        const double shift = al.at(Hertz{std::max(20.0, k * turns)});
        const double la = strongest(a, k, next), lb = strongest(b, k, next) - shift;
        c.x.push_back(0.5 * (k + next));
        c.a.push_back(static_cast<float>(la)), c.b.push_back(static_cast<float>(lb));
        c.change.push_back(static_cast<float>(lb - la));
        const double error = chance.line(0.5 * (k + next)).value_or(std::numeric_limits<double>::quiet_NaN());
        c.low.push_back(static_cast<float>(lb - la - 1.96 * error)),
            c.high.push_back(static_cast<float>(lb - la + 1.96 * error));
        k = next;
    }
    return c;
}

void remark_on(Comparison& c, const Alignment& al, const CompareSettings& settings, bool repeats) {
    if (!settings.same_placement) {
        std::string s = "Level difference taken out: " + plain_number(al.offset.value(), 1) + " dB";
        if (std::abs(al.slope_db_per_octave) > 0.2)
            s += ", and " + plain_number(al.slope_db_per_octave, 1) + " dB an octave";
        c.remarks.push_back(s + ". A change of the whole sound would hide in it.");
    }
    if (!repeats && !settings.same_placement && c.spread.least_octave)
        c.remarks.push_back("No repeat was recorded: a steady change under some " +
                            plain_number(c.spread.least_octave->value(), 0) +
                            " dB in one octave is not flagged.");
}

}  // namespace

Comparison compare(const std::vector<Take>& all_a, const std::vector<Take>& all_b,
                   const CompareSettings& settings) {
    Comparison c;
    std::vector<Take> a, b;
    const auto take_usable = [](const std::vector<Take>& all, std::vector<Take>& good,
                                std::vector<RecordingSummary>& summaries) {
        for (const auto& t : all) {
            summaries.push_back(t.summary);
            if (usable(t)) good.push_back(t);
        }
    };
    take_usable(all_a, a, c.a);
    take_usable(all_b, b, c.b);
    const SpreadModel& model = settings.same_placement ? untouched_spread() : moved_spread();
    c.spread.db = Decibel{model.band_octave};
    if (a.empty() || b.empty()) {
        c.comparable.why.push_back(a.empty() ? "The first side has no usable recording."
                                             : "The second side has no usable recording.");
        return c;
    }
    auto range = common_range(a, b, c.comparable);
    const auto na = side_speed(a), nb = side_speed(b);
    if (na && nb) {
        const double apart = std::abs(*nb / *na - 1.0);
        if (apart > far_apart) {
            c.comparable.why.push_back("Crank speeds are " + plain_number(100.0 * apart, 0) +
                                       " % apart: only what turns is compared, at equal ratio.");
            c.comparable.hz.reset();
            range.high = range.low;
        } else if (apart > apart_said) {
            c.comparable.why.push_back("Crank speeds are " + plain_number(100.0 * apart, 0) +
                                       " % apart: steady sound changes with speed by itself.");
        }
    }
    const auto al = align_takes(a, b, range, settings.same_placement);
    c.level_offset = al.offset;
    const auto measured = measured_spread(a, b, model);
    c.spread = {measured.measured, Decibel{model.band_octave * measured.factor}, std::nullopt};
    auto cells = cells_of(a, b, range, al, model, measured.factor);
    judge(cells);
    c.spread.least_octave = least_octave(cells, settings.false_discovery);
    c.findings = findings_of(cells, a, b, al, settings);
    remark_on(c, al, settings, a.size() > 1 || b.size() > 1);
    const ChanceOf chance{a, b, model, measured.factor};
    if (c.comparable.hz) c.over_hz = curve_over_hz(a, b, range, al, chance);
    if (c.comparable.ratio) c.over_ratio = curve_over_ratio(a, b, range, al, chance);
    return c;
}

std::vector<Finding> standing_out(const Take& take, const CompareSettings& settings) {
    if (!usable(take)) return {};
    Comparable unused;
    const std::vector<Take> one{take};
    const auto range = common_range(one, one, unused);
    const auto cells = cells_of(one, one, range, Alignment{}, moved_spread(), 1.0);
    auto findings = findings_of(cells, one, one, Alignment{}, settings);
    for (auto& f : findings) {
        f.b.reset(), f.change.reset();
        f.interval = {std::nullopt, std::nullopt};
        f.verdict = Verdict::there;
        f.presence[1] = f.presence[0];
    }
    return findings;
}

}  // namespace cranknote
