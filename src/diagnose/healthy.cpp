#include "diagnose/healthy.hpp"

#include <algorithm>
#include <cmath>

namespace cranknote {
namespace {

bool makes_healthy_sound(LineKind k) {
    switch (k) {
        case LineKind::tooth_mesh:
        case LineKind::blade_pass:
        case LineKind::vane_pass:
        case LineKind::piston_pass:
        case LineKind::lobe_pass:
        case LineKind::plunger_pass:
        case LineKind::electrical:
        case LineKind::ripple:
            return true;
        default:
            return false;
    }
}

bool runs(const Setting& s, const std::string& name) {
    return !s.still.contains(name) && !s.off.contains(name);
}

template <class Keep>
std::vector<HeardAt> lines_of(const Layout& layout, double share, Keep keep) {
    std::vector<HeardAt> lines;
    for (const auto& l : predicted_lines(layout))
        if (l.harmonic == 1 && makes_healthy_sound(l.kind) && keep(l.owner))
            lines.push_back({l.text, l.owner + " runs", l.ratio, {}, .1, l.count});
    for (auto& l : lines) {
        const double each = share / static_cast<double>(lines.size());
        l.harmonics = {.50 * each, .25 * each, .15 * each, .10 * each};
    }
    return lines;
}

}  // namespace

std::set<std::string> stopped_between(const Layout& layout, const Setting& a, const Setting& b) {
    std::set<std::string> stopped;
    const auto consider = [&](const std::string& name) {
        if (runs(a, name) && !runs(b, name)) stopped.insert(name);
    };
    for (const auto& p : layout.parts) consider(p.name);
    for (const auto& d : layout.drives) consider(d.name);
    return stopped;
}

std::optional<Cause> healthy_sound_of_stopped(const Layout& layout, const Setting& a, const Setting& b) {
    auto names = stopped_between(layout, a, b);
    names.merge(stopped_between(layout, b, a));
    for (const auto& p : layout.parts)  // a clutched compressor runs with ac-on only
        if (p.clutch && a.with.contains("ac-on") != b.with.contains("ac-on")) names.insert(p.name);
    if (names.empty()) return std::nullopt;
    Cause c;
    c.text = "healthy sound of what stands still";
    c.kind = CauseKind::other;
    c.tones = lines_of(layout, .8, [&](const auto& owner) { return names.contains(owner); });
    for (const auto& name : names)
        if (const auto turns = turns_of(layout, name))
            c.beats.push_back({"turns", name + " turns", *turns, {.9 / static_cast<double>(names.size())}});
    c.character = {.60, .05, .03, .32};
    c.follows = {.80, .12, .08};
    c.beating = .12;
    c.band = Hertz{1000.0};
    c.band_octaves = 2.3;
    return c;
}

Cause healthy_engine(const Layout& layout, const Setting& a, const Setting& b) {
    Cause c;
    c.text = "healthy engine";
    c.kind = CauseKind::other;
    c.tones = lines_of(layout, .4, [&](const auto& owner) { return runs(a, owner) && runs(b, owner); });
    const double firing = layout.engine.cylinders / (layout.engine.stroke == 2 ? 1.0 : 2.0);
    const auto at = [](double ratio) { return UncertainRatio{Ratio{ratio}, 0.0, 0.0}; };
    c.tones.push_back({"firing", "the engine fires", at(firing), {.08, .06, .05, .04, .03, .02, .02, .02}});
    c.tones.push_back(
        {"half orders", "the engine's cycle", at(.5), {.02, .02, .02, .02, .02, .02, .02, .02}});
    c.beats = {{"firing", "the engine fires", at(firing), {.35, .1}},
               {"cycle", "the engine's cycle", at(.5), {.18, .15, .05}}};
    c.character = {.46, .07, .17, .30};
    c.follows = {.65, .22, .13};
    c.beating = .35;
    c.band = Hertz{1000.0};
    c.band_octaves = 2.5;
    return c;
}

double prominence_log_odds(const Likelihoods& l, const Finding& f) {
    if (f.flagged) {
        const bool steady = f.character == Character::tone || f.character == Character::hiss;
        const auto& by = steady ? l.band_steady : l.band_swelling;
        return std::clamp(by.slope * (std::abs(f.band_change) - by.middle), -by.limit, by.limit);
    }
    return std::clamp(l.prominence_slope * (f.prominence - l.prominence_middle), -l.prominence_limit,
                      l.prominence_limit);
}

double strength_log_odds(const Likelihoods& l, const Finding& f) {
    if (!f.flagged) return l.unflagged;
    return std::clamp(l.strength_slope * std::log(0.05 / std::max(f.q, 1e-12)), 0.0, l.strength_limit);
}

}  // namespace cranknote
