#include "diagnose/complaints.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace cranknote {
namespace {

enum class Way { went, came, stays };

Way way_of(Verdict v) {
    if (v == Verdict::gone || v == Verdict::weaker) return Way::went;
    if (v == Verdict::fresh || v == Verdict::stronger) return Way::came;
    return Way::stays;
}

/// Within three standard errors, at least half a percent (a ratio bin of some 10 s).
bool same(Ratio a, Ratio b, double error) { return std::abs(std::log(a / b)) < std::max(.005, 3.0 * error); }

bool lists(const std::vector<Ratio>& family, Ratio r, double error) {
    return std::any_of(family.begin(), family.end(), [&](Ratio f) { return same(f, r, error); });
}

bool multiple(Ratio a, Ratio b, double error) {
    const double high = std::max(a.value(), b.value()), low = std::min(a.value(), b.value());
    const double m = std::round(high / low);
    return m >= 1.0 && m <= 5.0 && std::abs(high / low / m - 1.0) < std::max(.004, 3.0 * error);
}

bool beats_match(const Finding& a, const Finding& b) {
    const double error = std::hypot(a.beat_error, b.beat_error);
    return multiple(*a.beat_ratio, *b.beat_ratio, error) || lists(a.beat_family, *b.beat_ratio, error) ||
           lists(b.beat_family, *a.beat_ratio, error);
}

bool tones_match(const Finding& a, const Finding& b) {
    const double error = std::hypot(a.ratio_error, b.ratio_error);
    return multiple(*a.ratio, *b.ratio, error) || lists(a.family, *b.ratio, error) ||
           lists(b.family, *a.ratio, error);
}

/// Less than an octave apart.
bool neighbours(const Finding& a, const Finding& b) {
    return a.low.value() < 2.0 * b.high.value() && b.low.value() < 2.0 * a.high.value();
}

}  // namespace

double weight_of(const Finding& f) {
    const double change = f.change ? std::abs(f.change->value()) : 0.0;
    const double named = (f.ratio ? 1.0 : 0.0) + (f.beat_ratio ? 3.0 : 0.0);
    return (f.flagged ? 1.0 : .4) * (std::max(0.0, f.prominence) + change + named);
}

bool alike(const Finding& a, const Finding& b) {
    if (way_of(a.verdict) != way_of(b.verdict)) return false;
    if (a.beat_ratio && b.beat_ratio) return beats_match(a, b);
    const bool tone_a = a.character == Character::tone, tone_b = b.character == Character::tone;
    if (tone_a && tone_b && a.ratio && b.ratio) return tones_match(a, b);
    if (tone_a != tone_b) return false;
    return neighbours(a, b) && (a.character == b.character || !tone_a);
}

std::vector<FindingGroup> grouped(const std::vector<Finding>& findings) {
    std::vector<std::size_t> order(findings.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t x, std::size_t y) {
        return weight_of(findings[x]) > weight_of(findings[y]);
    });
    std::vector<FindingGroup> groups;
    for (const auto i : order) {
        const auto& f = findings[i];
        if (f.verdict == Verdict::cannot_tell) continue;
        const auto home =
            std::find_if(groups.begin(), groups.end(), [&](const auto& g) { return alike(g.speaker(), f); });
        if (home == groups.end()) {
            groups.push_back({{f}, {i}});
        } else {
            home->findings.push_back(f);
            home->places.push_back(i);
        }
    }
    return groups;
}

}  // namespace cranknote
