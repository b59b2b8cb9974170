// The beat spectrum, time against ratio, and the ring of cylinders.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "figure/figures.hpp"
#include "figure/number_text.hpp"

namespace cranknote::figure {

namespace {

float quantile(std::vector<float> values, double share) {
    std::erase_if(values, [](float v) { return !std::isfinite(v); });
    if (values.empty()) return 0.0f;
    const auto at = static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), values.begin() + at, values.end());
    return values[static_cast<std::size_t>(at)];
}

/// The value of `y` at the x nearest to `at`.
float nearest(const std::vector<double>& x, const std::vector<float>& y, double at) {
    const auto found = std::lower_bound(x.begin(), x.end(), at);
    auto i = static_cast<std::size_t>(found - x.begin());
    if (i > 0 && (i == x.size() || at - x[i - 1] < x[i] - at)) --i;
    return i < y.size() ? y[i] : 0.0f;
}

std::vector<float> percent(const std::vector<float>& shares) {
    std::vector<float> out;
    for (const float v : shares) out.push_back(100.0f * v);
    return out;
}

/// A point of the ring: `turn` 0 is the top, clockwise.
Point on_ring(double radius, double turn) {
    const double angle = 2.0 * std::numbers::pi * (0.25 - turn);
    return {radius * std::cos(angle), radius * std::sin(angle)};
}

Outline slice(const std::string& id, double radius, double from, double to, Ink fill) {
    Outline outline{id, {{0, 0}}, true, Point{0, 0}, fill, Ink::change, 0.7, Outline::Hit::area};
    constexpr int steps = 24;
    for (int i = 0; i <= steps; ++i)
        outline.points.push_back(on_ring(radius, from + (to - from) * i / steps));
    return outline;
}

/// An interval as a line along the radius, with an arc at either end.
void add_interval(Panel& panel, std::pair<double, double> of, double middle, double width) {
    const double low = std::clamp(of.first, 0.45, 1.45), high = std::clamp(of.second, 0.45, 1.45);
    const auto stroke = [&](std::vector<Point> points) {
        panel.elements.push_back(Outline{"", std::move(points), false, std::nullopt, std::nullopt, Ink::text,
                                         0.7, Outline::Hit::nothing});
    };
    stroke({on_ring(low, middle), on_ring(high, middle)});
    for (const double r : {low, high}) {
        std::vector<Point> arc;
        for (int i = -3; i <= 3; ++i) arc.push_back(on_ring(r, middle + 0.02 * width * i));
        stroke(std::move(arc));
    }
}

}  // namespace

Figure beats_figure(const BeatCurve& beats, const Finding& finding, const std::string& a,
                    const std::string& b, const std::vector<Predicted>& predicted, const Captions& words) {
    Figure figure;
    figure.aspect = 0.42;
    figure.least_height = 240.0;
    figure.most_height = 420.0;
    if (beats.ratio.size() < 2) {
        figure.caption = words.nothing;
        return figure;
    }
    figure.keys = {{Ink::side_a, a, true}};
    Panel panel;
    panel.x.label = words.beats_axis;
    panel.x.unit = Unit::ratio;
    panel.x.from = std::max(0.0, beats.ratio.front());
    panel.x.to = beats.ratio.back();
    panel.y.label = words.depth;
    panel.y.unit = Unit::percent;
    const auto side_a = percent(beats.a), side_b = percent(beats.b);
    panel.y.to =
        std::max(5.0, 1.12 * static_cast<double>(std::max(quantile(side_a, 1.0), quantile(side_b, 1.0))));
    for (const auto& p : predicted)
        if (p.ratio.value() >= panel.x.from && p.ratio.value() <= panel.x.to)
            panel.elements.push_back(Rule{p.ratio.value(), true, Ink::predicted, p.text});
    if (!side_b.empty()) {
        figure.keys.push_back({Ink::side_b, b, true});
        panel.elements.push_back(Line{"", beats.ratio, side_b, Ink::side_b});
    }
    panel.elements.push_back(Line{"", beats.ratio, side_a, Ink::side_a});
    const auto mark = [&](Ratio at, double weight, Ink ink) {
        if (at.value() < panel.x.from || at.value() > panel.x.to) return;
        const double top =
            std::max(nearest(beats.ratio, side_a, at.value()), nearest(beats.ratio, side_b, at.value()));
        panel.elements.push_back(
            Flag{finding.id, at.value(), top, Shape::none, {ratio_text(at)}, ink, weight});
    };
    if (finding.beat_ratio) mark(*finding.beat_ratio, 100.0, Ink::text);
    double weight = 50.0;
    for (const auto& at : finding.beat_family) mark(at, weight -= 1.0, Ink::expected);
    figure.description = words.depth + (finding.beat_ratio ? ": " + ratio_text(*finding.beat_ratio) : "");
    figure.panels.push_back(std::move(panel));
    return figure;
}

Figure map_figure(const TimeRatioMap& map, const std::string& title, const Captions& words) {
    Figure figure;
    figure.title = title;
    figure.aspect = 0.5;
    figure.least_height = 260.0;
    figure.most_height = 520.0;
    figure.description = title;
    if (map.columns < 1 || map.rows < 1 || !(map.ratio.first.value() > 0.0)) {
        figure.caption = words.nothing;
        return figure;
    }
    Panel panel;
    panel.x.label = words.time;
    panel.x.unit = Unit::seconds;
    panel.x.from = map.time.first.value();
    panel.x.to = map.time.second.value();
    panel.y.label = words.heat_axis;
    panel.y.unit = Unit::ratio;
    panel.y.scale = Scale::log;
    panel.y.from = map.ratio.first.value();
    panel.y.to = map.ratio.second.value();
    panel.elements.push_back(HeatMap{{panel.x.from, panel.x.to},
                                     {panel.y.from, panel.y.to},
                                     map.columns,
                                     map.rows,
                                     map.level,
                                     quantile(map.level, 0.25),
                                     quantile(map.level, 0.998)});
    figure.panels.push_back(std::move(panel));
    return figure;
}

Figure ring_figure(const CylinderRing& ring, const std::string& title, const Captions& words) {
    Figure figure;
    figure.title = title;
    figure.aspect = 1.0;
    figure.least_height = 220.0;
    figure.most_height = 420.0;
    const auto count = ring.strength.size();
    if (count == 0) {
        figure.caption = words.nothing;
        return figure;
    }
    const bool known = ring.cylinders.size() == count;
    figure.caption = known ? words.by_cylinder : words.by_position;
    Panel panel;
    panel.drawing = true;
    panel.x.from = panel.y.from = -1.66;
    panel.x.to = panel.y.to = 1.66;
    const auto least = static_cast<std::size_t>(std::min_element(ring.strength.begin(), ring.strength.end()) -
                                                ring.strength.begin());
    const bool one_is_weak = ring.strength[least] < 0.85;
    for (std::size_t i = 0; i < count; ++i) {
        const double width = 1.0 / static_cast<double>(count), middle = width * static_cast<double>(i),
                     gap = 0.06 * width;
        const bool weak = one_is_weak && i == least;
        const auto name = known ? std::to_string(ring.cylinders[i]) : std::to_string(i + 1) + ".";
        panel.elements.push_back(slice(name, std::clamp(ring.strength[i], 0.45, 1.4),
                                       middle - width / 2 + gap, middle + width / 2 - gap,
                                       weak ? Ink::doubt : Ink::side_a));
        if (i < ring.interval.size()) add_interval(panel, ring.interval[i], middle, width);
        panel.elements.push_back(
            Words{on_ring(1.52, middle), name, Align::centre, weak ? Ink::doubt : Ink::text, weak, 1.1});
        figure.description += name + ": " + number_text(100.0 * ring.strength[i], 0) + "\u00a0%. ";
    }
    panel.elements.push_back(Disc{"", {0, 0}, 1.0, std::nullopt, Ink::axis, false});
    panel.elements.push_back(Disc{"", {0, 0}, 0.42, Ink::metal, std::nullopt, false});
    if (ring.evenness) {
        panel.elements.push_back(Words{{0, 0.09},
                                       number_text(100.0 * *ring.evenness, 0) + "\u00a0%",
                                       Align::centre,
                                       Ink::text,
                                       true,
                                       1.5});
        panel.elements.push_back(Words{{0, -0.2}, words.even, Align::centre, Ink::faint, false, 0.9});
    }
    figure.panels.push_back(std::move(panel));
    return figure;
}

}  // namespace cranknote::figure
