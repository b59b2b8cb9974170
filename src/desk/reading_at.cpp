#include "desk/reading_at.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "figure/number_text.hpp"

namespace cranknote::desk {

namespace {

std::optional<Rpm> speed_of(const Comparison& c) {
    for (const auto& r : c.a)
        if (r.speed.mean) return r.speed.mean;
    return std::nullopt;
}

std::string both_units(double x, bool is_hz, std::optional<Rpm> rpm) {
    const std::string text = is_hz ? hertz_text(Hertz{x}) : ratio_text(Ratio{x});
    if (!rpm) return text;
    return text + " is " +
           (is_hz ? ratio_text(ratio_of(Hertz{x}, *rpm)) : hertz_text(frequency_of(Ratio{x}, *rpm))) +
           " at " + rpm_text(*rpm);
}

std::string change_at(const Comparison& c, bool over_hz, double x) {
    const auto& curve = over_hz ? c.over_hz : c.over_ratio;
    const auto text = both_units(x, over_hz, speed_of(c));
    const auto found = std::ranges::lower_bound(curve.x, x);
    const auto i = static_cast<std::size_t>(found - curve.x.begin());
    if (found == curve.x.end() || i >= curve.change.size() || !std::isfinite(curve.change[i])) return text;
    const auto change = text + ": " + change_text(Decibel{curve.change[i]});
    if (i >= curve.low.size() || !std::isfinite(curve.low[i]) || !std::isfinite(curve.high[i])) return change;
    return change + " (" + change_text(Decibel{curve.low[i]}) + " to " + change_text(Decibel{curve.high[i]}) +
           ")";
}

std::string swelling_at(const Comparison& c, double beats) {
    const auto rpm = speed_of(c);
    const auto text = ratio_text(Ratio{beats});
    if (!rpm || beats <= 0.0) return text;
    return text + ", every " + number_text(60.0 / (rpm->value() * beats), 2) + "\u00a0s at " + rpm_text(*rpm);
}

std::string moment_at(const ThroughTime& shown, const Examined& e, figure::Point at) {
    const Seconds t{at.x};
    const auto rpm = e.summary.speed.track.empty() ? e.summary.speed.mean
                                                   : std::optional(e.summary.speed.track.speed_at(t));
    const auto& map = shown.map;
    auto text = number_text(at.x, 1) + "\u00a0s, " + both_units(at.y, false, rpm);
    const double row = std::floor(std::log(at.y / map.ratio.first.value()) /
                                  std::log(map.ratio.second / map.ratio.first) * map.rows),
                 column = std::floor((at.x - map.time.first.value()) /
                                     (map.time.second - map.time.first).value() * map.columns);
    if (row < 0.0 || row >= map.rows || column < 0.0 || column >= map.columns) return text;
    const float level = map.level[static_cast<std::size_t>(row) * static_cast<std::size_t>(map.columns) +
                                  static_cast<std::size_t>(column)];
    return std::isfinite(level) ? text + ": " + level_text(Decibel{level}) : text;
}

std::string through_time_at(const Scene& scene, const figure::LaidPanel& panel, figure::Point at) {
    if (panel.y.unit != figure::Unit::ratio) return number_text(at.x, 1) + "\u00a0s: " + rpm_text(Rpm{at.y});
    if (!scene.through_time) return "";
    for (std::size_t i = 0; i < scene.job.recordings.size(); ++i)
        if (scene.job.recordings[i].id == scene.through_time->recording && scene.heard[i].examined)
            return moment_at(*scene.through_time, *scene.heard[i].examined, at);
    return "";
}

}  // namespace

std::string reading_at(const Scene& scene, const ViewState& view, const figure::LaidOut& laid,
                       figure::Point at) {
    const auto* panel = figure::panel_under(laid, at);
    if (!panel || !scene.compared) return "";
    const auto data = panel->data(at);
    switch (view.tab) {
        case SoundTab::change:
            return change_at(scene.compared->comparison, view.over_hz, data.x);
        case SoundTab::swelling:
            return swelling_at(scene.compared->comparison, data.x);
        case SoundTab::time:
            return through_time_at(scene, *panel, data);
    }
    return "";
}

}  // namespace cranknote::desk
