#include "compare/findings.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include "compare/character.hpp"
#include "portrait/features.hpp"

namespace cranknote {

namespace {

constexpr double absent_prominence =
    4.0;                           // dB: a tone or beat lower than this over its floor is not heard as one
constexpr double band_gone = 5.0;  // dB: a band that fell by this has lost two thirds of its power
constexpr std::size_t most_unchanged = 6;
constexpr double knock_resolution = 0.02;  // beats per turn: a line of 64 turns

bool multiple_of(double x, double y) {
    const double r = x > y ? x / y : y / x;
    const double n = std::round(r);
    return n >= 1.0 && n <= 40.0 && std::abs(r - n) < std::min(0.012 * n, 0.15);
}

bool overlap(double a_low, double a_high, double b_low, double b_high) {
    return a_low < b_high && b_low < a_high;
}

bool is_line(CellKind k) { return k == CellKind::tone_hz || k == CellKind::tone_ratio; }

/// Does this cell belong to the finding that `head` stands for?
bool belongs(const Cell& head, const Cell& c) {
    if (std::signbit(head.change) != std::signbit(c.change)) return false;
    const bool head_band = head.kind == CellKind::band || head.kind == CellKind::bump;
    const bool band = c.kind == CellKind::band || c.kind == CellKind::bump;
    if (head_band && band) return overlap(head.low / 1.05, head.high * 1.05, c.low, c.high);
    if (head.kind == CellKind::beat && c.kind == CellKind::beat)
        return multiple_of(head.place, c.place) && overlap(head.low / 2.1, head.high * 2.1, c.low, c.high);
    if (head.kind == CellKind::beat && band) return overlap(head.low, head.high, c.low, c.high);
    if (is_line(head.kind) && c.kind == CellKind::bump)
        return head.low > c.low / 1.06 && head.low < c.high * 1.06;
    if (head.kind == CellKind::bump && is_line(c.kind))
        return c.low > head.low / 1.06 && c.low < head.high * 1.06;
    if (head.kind == c.kind && is_line(head.kind))
        return multiple_of(head.place, c.place) || std::abs(head.place / c.place - 1.0) < 0.02;
    return false;
}

/// A loud knock hides the engine's own, weaker swelling in its band: when it goes, that comes out, and the
/// other way round. Such a change is none of the engine's.
bool uncovered_by(const Cell& head, const Cell& c) {
    return c.kind == CellKind::beat && std::signbit(head.change) != std::signbit(c.change) &&
           std::abs(c.change) < 1.2 * std::abs(head.change) && overlap(head.low, head.high, c.low, c.high) &&
           head.p < c.p;
}

Verdict verdict_of(const Cell& c, bool flagged) {
    if (!flagged) return std::abs(c.change) < 2.0 * c.error ? Verdict::there : Verdict::cannot_tell;
    const bool fell = c.change < 0.0;
    if (c.kind == CellKind::band) {
        if (fell) return c.change <= -band_gone ? Verdict::gone : Verdict::weaker;
        return c.change >= band_gone ? Verdict::fresh : Verdict::stronger;
    }
    const bool absent = c.left < std::max(absent_prominence, 0.25 * c.loud);
    if (fell) return absent ? Verdict::gone : Verdict::weaker;
    return absent ? Verdict::fresh : Verdict::stronger;
}

std::optional<double> side_level(const std::vector<Take>& side, Hertz low, Hertz high) {
    double sum = 0.0;
    for (const auto& t : side) {
        const auto r = band_level(*t.portrait, low, high);
        if (!r) return std::nullopt;
        sum += r->level.value();
    }
    return sum / static_cast<double>(side.size());
}

/// A knock's multiples move together: the lowest that changed about as much is how often it knocks.
double lowest_of(const Cell& head, const std::vector<const Cell*>& group) {
    double place = head.place;
    const auto loud = [&](const Cell& c) { return head.change < 0.0 ? c.a : c.b; };
    for (const auto* c : group)
        if (c->kind == CellKind::beat && c->place < 0.99 * place && multiple_of(c->place, head.place) &&
            std::abs(c->change) >= 0.6 * std::abs(head.change) && loud(*c) >= loud(head) - 6.0)
            place = c->place;
    return place;
}

/// Aligned change of the finding's band, widened to a third octave: a fault's sound shows in it.
double band_change(const std::vector<Take>& a, const std::vector<Take>& b, const Alignment& alignment,
                   const Finding& f) {
    const double middle = std::sqrt(f.low.value() * f.high.value()), sixth = std::exp2(1.0 / 6.0);
    const Hertz low{std::min(f.low.value(), middle / sixth)}, high{std::max(f.high.value(), middle * sixth)};
    const auto la = side_level(a, low, high), lb = side_level(b, low, high);
    if (!la || !lb) return 0.0;
    return *lb - *la - alignment.at(Hertz{middle});
}

/// The head may be any multiple of the knock; its other multiples belong to it as well.
bool same_knock(const Cell& head, double knocks, const Cell& c) {
    const double n = std::round(c.place / knocks);
    return c.kind == CellKind::beat && std::signbit(head.change) == std::signbit(c.change) &&
           overlap(head.low / 2.1, head.high * 2.1, c.low, c.high) && n >= 1.0 && n <= 24.0 &&
           std::abs(c.place - n * knocks) < std::max(0.004 * c.place, knock_resolution);
}

Finding finding_from(const Cell& head, const std::vector<const Cell*>& group, const std::vector<Take>& a,
                     const std::vector<Take>& b, const Alignment& alignment, bool flagged) {
    Finding f;
    const bool fell = head.change < 0.0;
    const auto& loud = fell ? a : b;
    double low = head.low, high = head.high;
    for (const auto* c : group)
        if (c->kind == head.kind && c->q <= 0.05) low = std::min(low, c->low), high = std::max(high, c->high);
    if (head.kind ==
        CellKind::band)  // the head alone says how wide: widest cells drag their neighbours along
        low = head.low, high = head.high;
    if (is_line(head.kind)) {
        const double rel = 0.006;
        low = head.low * (1.0 - rel), high = head.low * (1.0 + rel);
    }
    f.low = Hertz{low}, f.high = Hertz{high};
    f.change = Decibel{head.change};
    f.interval = {Decibel{head.change - 1.96 * head.error}, Decibel{head.change + 1.96 * head.error}};
    f.q = head.q, f.flagged = flagged;
    f.verdict = verdict_of(head, flagged);
    f.prominence = std::max(head.prominence_a, head.prominence_b);
    const auto la = side_level(a, f.low, f.high), lb = side_level(b, f.low, f.high);
    if (la) f.a = Decibel{*la};
    if (lb) f.b = Decibel{*lb - alignment.at(Hertz{std::sqrt(low * high)})};
    const auto& speed = loud.front().portrait->speed;
    if (head.kind == CellKind::tone_ratio || head.kind == CellKind::beat) f.axis = Axis::ratio;
    if (head.kind == CellKind::tone_ratio) {
        f.ratio = Ratio{head.place};
    } else if (head.kind == CellKind::tone_hz && speed.mean) {
        f.ratio = ratio_of(Hertz{head.place}, *speed.mean);
    }
    const double speed_error =
        speed.mean ? (speed.interval.second - speed.interval.first).value() / 3.92 / speed.mean->value()
                   : 0.0;
    if (f.ratio) f.ratio_error = std::hypot(0.0006, head.kind == CellKind::tone_hz ? speed_error : 0.0);
    for (std::size_t i = 1; i < head.members.size(); ++i)
        (head.kind == CellKind::beat ? f.beat_family : f.family).push_back(Ratio{head.members[i]});
    if (head.kind == CellKind::beat) f.beat_ratio = Ratio{lowest_of(head, group)};
    describe(f, head, loud, &loud == &a ? b : a);
    f.band_change = band_change(a, b, alignment, f);
    return f;
}

}  // namespace

std::vector<Finding> findings_of(const std::vector<Cell>& cells, const std::vector<Take>& a,
                                 const std::vector<Take>& b, const Alignment& alignment,
                                 const CompareSettings& settings) {
    const double least =
        settings.same_placement ? settings.least_change_same_placement_db : settings.least_change_db;
    std::vector<const Cell*> order;
    for (const auto& c : cells) order.push_back(&c);
    std::stable_sort(order.begin(), order.end(), [](const Cell* x, const Cell* y) { return x->p < y->p; });
    std::vector<Finding> out;
    std::vector<bool> used(order.size(), false);
    for (std::size_t i = 0; i < order.size(); ++i) {
        const Cell& head = *order[i];
        if (head.q > settings.false_discovery) break;
        if (used[i] || std::abs(head.change) < least) continue;
        std::vector<const Cell*> group;
        const auto gather = [&](auto belongs_here) {
            for (std::size_t j = i; j < order.size() && order[j]->q <= settings.false_discovery; ++j)
                if (!used[j] && belongs_here(*order[j])) group.push_back(order[j]), used[j] = true;
        };
        gather([&](const Cell& c) { return belongs(head, c); });
        if (head.kind == CellKind::beat) {
            const double knocks = lowest_of(head, group);
            gather([&](const Cell& c) { return same_knock(head, knocks, c); });
        }
        for (std::size_t j = i + 1; j < order.size() && order[j]->q <= settings.false_discovery; ++j)
            used[j] = used[j] || uncovered_by(head, *order[j]);
        out.push_back(finding_from(head, group, a, b, alignment, true));
    }
    // What stands out on both sides and stayed: a pull that changes nothing is evidence too.
    std::stable_sort(order.begin(), order.end(), [](const Cell* x, const Cell* y) {
        return std::min(x->prominence_a, x->prominence_b) > std::min(y->prominence_a, y->prominence_b);
    });
    std::vector<const Cell*> shown;
    for (const auto* c : order) {
        if (shown.size() >= most_unchanged) break;
        if (c->kind == CellKind::band || c->kind == CellKind::bump || c->q <= settings.false_discovery)
            continue;
        if (std::min(c->prominence_a, c->prominence_b) < (c->kind == CellKind::beat ? 7.0 : 12.0)) continue;
        if (ordinary(*c, settings.cylinders)) continue;
        const auto same = [&](const Cell* s) {
            return s->kind == c->kind && multiple_of(s->place, c->place);
        };
        if (std::any_of(shown.begin(), shown.end(), same)) continue;
        shown.push_back(c);
        out.push_back(finding_from(*c, {c}, a, b, alignment, false));
    }
    for (std::size_t i = 0; i < out.size(); ++i) out[i].id = "f" + std::to_string(i + 1);
    return out;
}

}  // namespace cranknote
