#include <algorithm>
#include <cmath>

#include "figure/figures.hpp"
#include "figure/number_text.hpp"
#include "figure/ticks.hpp"

namespace cranknote::figure {

namespace {

/// A round range around low and high that shows a wander of some percent without blowing up a still idle.
void round_range(DataAxis& axis, double low, double high) {
    const double middle = (low + high) / 2.0, half = std::max((high - low) * 0.6, middle * 0.015);
    const double step = tick_step(2.0 * half, 5);
    axis.from = step * std::floor((middle - half) / step);
    axis.to = step * std::ceil((middle + half) / step);
}

CylinderRing ring_of(const Evenness& e) {
    CylinderRing ring;
    ring.cylinders = e.numbers;
    const auto strength = [](Decibel level) { return std::pow(10.0, level.value() / 20.0); };
    for (const auto& c : e.cylinders) {
        ring.strength.push_back(strength(c.level));
        ring.interval.emplace_back(strength(c.level - c.plus_minus), strength(c.level + c.plus_minus));
    }
    return ring;
}

}  // namespace

Figure running_figure(const SpeedReading& speed, const std::string& title, const Captions& words) {
    auto figure = speed_figure(speed, title, words);
    if (!speed.evenness || speed.evenness->cylinders.empty()) return figure;
    auto ring = ring_figure(ring_of(*speed.evenness), {}, words);
    figure.aspect += 0.5;
    figure.least_height += 260.0, figure.most_height += 420.0;
    for (auto& panel : ring.panels) {
        panel.share = 1.3;
        figure.panels.push_back(std::move(panel));
    }
    figure.caption = ring.caption;
    figure.description += ". " + ring.description;
    return figure;
}

Figure speed_figure(const SpeedReading& speed, const std::string& title, const Captions& words) {
    Figure figure;
    figure.title = title;
    figure.aspect = 0.34;
    figure.least_height = 190.0;
    figure.most_height = 340.0;
    const auto& track = speed.track;
    if (track.at.size() < 2) {
        figure.caption = words.no_speed;
        figure.description = words.no_speed;
        figure.least_height = figure.most_height = 60.0;
        return figure;
    }
    Panel panel;
    panel.x.label = words.time;
    panel.x.unit = Unit::seconds;
    panel.x.from = track.at.front().value();
    panel.x.to = std::max(track.at.back().value(), panel.x.from + 1e-3);
    panel.y.label = words.speed;
    panel.y.unit = Unit::rpm;
    Line line{"", {}, {}, Ink::side_a};
    for (std::size_t i = 0; i < std::min(track.at.size(), track.rpm.size()); ++i) {
        line.x.push_back(track.at[i].value());
        line.y.push_back(static_cast<float>(track.rpm[i].value()));
    }
    const auto [low, high] = std::minmax_element(line.y.begin(), line.y.end());
    round_range(panel.y, *low, *high);
    if (speed.mean) {
        const auto lower = static_cast<float>(speed.interval.first.value()),
                   upper = static_cast<float>(speed.interval.second.value());
        panel.elements.push_back(
            Ribbon{"", {panel.x.from, panel.x.to}, {lower, lower}, {upper, upper}, Ink::spread});
        panel.elements.push_back(Rule{speed.mean->value(), false, Ink::axis, ""});
        // The track crosses its mean all the time: a label on the line would lie on the track.
        figure.keys = {{Ink::side_a, words.speed, true},
                       {Ink::axis, filled(words.mean, "rpm", rpm_text(*speed.mean)), true}};
    }
    panel.elements.push_back(std::move(line));
    figure.description =
        words.speed + (speed.mean ? ": " + filled(words.mean, "rpm", rpm_text(*speed.mean)) : "");
    figure.panels.push_back(std::move(panel));
    return figure;
}

}  // namespace cranknote::figure
