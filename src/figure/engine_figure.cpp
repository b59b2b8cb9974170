// The engine's front, drawn from its layout.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "figure/belt_path.hpp"
#include "figure/figures.hpp"
#include "figure/number_text.hpp"
#include "figure/placement.hpp"
#include "layout/kinematics.hpp"

namespace cranknote::figure {

namespace {

constexpr double round_turn = 2.0 * std::numbers::pi;
constexpr double least_suspicion = 0.02;  // below it nothing is shown on the part
constexpr Point lifted{16.0, 22.0};       // mm that what is off moves away

Point round_point(Point centre, double radius, double angle) {
    return centre + radius * Point{std::cos(angle), std::sin(angle)};
}

/// A wheel with its teeth: straight flanks, half tooth and half gap.
std::vector<Point> toothed_outline(Point centre, double radius, int teeth) {
    const double height = std::clamp(0.35 * round_turn * radius / teeth, 1.2, 6.0);
    std::vector<Point> points;
    for (int i = 0; i < teeth; ++i)
        for (const auto& [at, r] :
             {std::pair{0.02, radius - height}, {0.32, radius - height}, {0.48, radius}, {0.86, radius}})
            points.push_back(round_point(centre, r, round_turn * (i + at) / teeth));
    return points;
}

std::vector<Point> circle_outline(Point centre, double radius) {
    std::vector<Point> points;
    for (int i = 0; i < 120; ++i) points.push_back(round_point(centre, radius, round_turn * i / 120.0));
    return points;
}

/// One blade of a fan, leaning in the sense of turning.
std::vector<Point> blade_outline(Point centre, double hub, double tip, double from, double width) {
    std::vector<Point> points;
    for (int i = 0; i <= 8; ++i) {
        const double share = i / 8.0;
        points.push_back(round_point(centre, hub + share * (tip - hub), from + 0.35 * share));
    }
    for (int i = 1; i < 8; ++i)
        points.push_back(round_point(centre, tip, from + 0.35 + width * 1.25 * i / 8.0));
    for (int i = 8; i >= 0; --i) {
        const double share = i / 8.0;
        points.push_back(round_point(centre, hub + share * (tip - hub),
                                     from + 0.35 * share + width * (0.75 + 0.5 * share)));
    }
    return points;
}

class Drawing {
  public:
    Drawing(const Layout& layout, const EngineView& view)
        : layout_(layout), view_(view), placed_(place_parts(layout)) {}

    Figure make() {
        for (const bool timing : {true, false}) {
            for (const auto& p : by_size(timing)) part(*p);
            if (!timing) hidden_wheels();
            for (const auto& d : layout_.drives)
                if (is_timing(layout_, d) == timing) drive(d);
        }
        for (const auto& p : placed_)
            if (is_fan(p)) fan(p);
        for (const auto& c : layout_.covers) cover(c);
        elements_.insert(elements_.end(), gauges_.begin(), gauges_.end());
        if (view_.names) name_parts();
        return finish();
    }

  private:
    [[nodiscard]] bool off(const std::string& name) const { return view_.off.contains(name); }
    [[nodiscard]] bool still(const std::string& name) const { return view_.still.contains(name); }
    [[nodiscard]] bool lit(const std::string& name) const { return view_.lit.contains(name); }
    [[nodiscard]] Point shift(const std::string& name) const {
        return off(name) ? view_.lift * lifted : Point{};
    }
    [[nodiscard]] double suspicion(const std::string& name) const {
        const auto found = view_.suspicion.find(name);
        return found == view_.suspicion.end() || found->second < least_suspicion ? 0.0 : found->second;
    }
    [[nodiscard]] static bool is_fan(const Placed& p) { return p.part->kind == PartKind::fan; }
    [[nodiscard]] const Placed* place_of(const std::string& name) const {
        for (const auto& p : placed_)
            if (p.part->name == name) return &p;
        return nullptr;
    }

    /// The large ones first, so that a small wheel on the same shaft stays visible.
    [[nodiscard]] std::vector<const Placed*> by_size(bool timing) const {
        std::vector<const Placed*> list;
        for (const auto& p : placed_)
            if (p.timing == timing && !is_fan(p)) list.push_back(&p);
        std::stable_sort(list.begin(), list.end(), [](auto* a, auto* b) { return a->radius > b->radius; });
        return list;
    }

    template <class T>
    void add(T element) {
        elements_.push_back(std::move(element));
    }

    void reach(Point at, double radius) {
        low_ = {std::min(low_.x, at.x - radius), std::min(low_.y, at.y - radius)};
        high_ = {std::max(high_.x, at.x + radius), std::max(high_.y, at.y + radius)};
    }

    [[nodiscard]] Ink rim_ink(const Placed& p) const {
        const auto& name = p.part->name;
        return lit(name)                 ? Ink::lit
               : off(name)               ? Ink::ghost
               : p.timing || still(name) ? Ink::back
                                         : Ink::metal;
    }

    void part(const Placed& p) {
        const auto& name = p.part->name;
        const Point at = p.at + shift(name);
        const bool gone = off(name);
        if (gone)
            add(Outline{"", circle_outline(p.at, p.radius), true, std::nullopt, std::nullopt, Ink::ghost, 0.7,
                        Outline::Hit::nothing});
        const auto* drive = layout_.drive(p.part->drive.empty() ? driven_by(name) : p.part->drive);
        const bool toothed =
            drive && (drive->kind == DriveKind::toothed || drive->kind == DriveKind::chain ||
                      drive->kind == DriveKind::silent_chain || drive->kind == DriveKind::gear);
        const bool has_teeth = toothed && !p.part->back_side &&
                               (p.part->teeth || p.part->kind == PartKind::cam_wheel ||
                                p.part->kind == PartKind::crank_sprocket);
        const int teeth =
            p.part->teeth.value_or(std::max(12, static_cast<int>(round_turn * p.radius / 9.525)));
        const double rim =
            std::max(4.0, p.radius - (has_teeth ? 0.0 : 2.0));  // the belt's line runs a little outside
        const auto fill =
            gone ? std::nullopt : std::optional(p.timing || still(name) ? Ink::back : Ink::metal);
        add(Outline{name, has_teeth ? toothed_outline(at, rim, teeth) : circle_outline(at, rim), true, at,
                    fill, rim_ink(p), 1.0, Outline::Hit::area});
        if (!gone) inside_of(p, at, rim, has_teeth);
        if (const double s = suspicion(name); s > 0.0)
            gauges_.push_back(Gauge{name, at, rim + 9.0, s, Ink::doubt});
        reach(at, rim + 12.0);
    }

    /// Grooves seen from the front are rings near the rim; the hub and the shaft's middle.
    void inside_of(const Placed& p, Point at, double rim, bool has_teeth) {
        const auto ring = [&](double radius, Ink ink) {
            add(Disc{"", at, radius, std::nullopt, ink, false});
        };
        const auto* drive = layout_.drive(p.part->drive.empty() ? driven_by(p.part->name) : p.part->drive);
        const bool grooved = drive && !p.part->back_side &&
                             (drive->kind == DriveKind::ribbed || drive->kind == DriveKind::vee);
        if (grooved) ring(rim - std::min(4.0, 0.12 * rim), Ink::ghost_line);
        if (grooved && drive->kind == DriveKind::ribbed)
            ring(rim - std::min(8.0, 0.24 * rim), Ink::ghost_line);
        if (has_teeth) ring(0.78 * rim, Ink::ghost_line);
        ring(std::max(3.0, 0.3 * rim), p.timing ? Ink::back : Ink::axis);
        add(Disc{"", at, 2.0, p.timing ? Ink::back : Ink::axis, p.timing ? Ink::back : Ink::metal, false});
    }

    /// A toothed wheel behind a pulley of the same shaft shows through it as a thin line.
    void hidden_wheels() {
        for (const auto& behind : placed_)
            for (const auto& front : placed_)
                if (behind.timing && !front.timing && !is_fan(front) && length(behind.at - front.at) < 1.0 &&
                    behind.radius < front.radius && !off(front.part->name))
                    add(Outline{behind.part->name,
                                toothed_outline(behind.at, behind.radius, behind.part->teeth.value_or(20)),
                                true, std::nullopt, std::nullopt,
                                lit(behind.part->name) ? Ink::lit : Ink::ghost_line, 1.0,
                                Outline::Hit::area});
    }

    [[nodiscard]] std::string driven_by(const std::string& part) const {
        for (const auto& d : layout_.drives)
            if (d.driver == part) return d.name;
        return "";
    }

    void drive(const Drive& d) {
        if (d.kind == DriveKind::gear) return;
        std::vector<Wheel> wheels;
        for (const auto& name : running_order(d, placed_)) {
            const auto* p = place_of(name);
            if (p && !off(name)) wheels.push_back({p->at, p->radius, p->part->back_side});
        }
        auto path = belt_path(settled(std::move(wheels)));
        if (path.points.empty()) return;
        const bool gone = off(d.name), slack = still(d.name) && !gone;
        for (auto& point : path.points) point = point + shift(d.name);
        const Ink ink = lit(d.name) ? Ink::lit : gone || slack ? Ink::ghost : Ink::belt;
        const bool links =
            d.kind == DriveKind::toothed || d.kind == DriveKind::chain || d.kind == DriveKind::silent_chain;
        add(Outline{d.name, path.points, true, std::nullopt, std::nullopt, ink, gone || slack ? 1.6 : 1.0,
                    Outline::Hit::line});
        if (links && !gone && !slack)
            add(Outline{"", path.points, true, std::nullopt, std::nullopt, Ink::belt_teeth, 1.0,
                        Outline::Hit::nothing});
        const Point middle = clear_point(path, d);
        badge(d.name, middle);
        if (view_.names) name(d.name, middle, drive_facts(d), 1.5);
    }

    /// A gauge where there is no rim to put it round.
    void badge(const std::string& name, Point at) {
        const double s = suspicion(name);
        if (s <= 0.0) return;
        gauges_.push_back(Disc{name, at, 13.0, Ink::paper, std::nullopt, true});
        gauges_.push_back(Gauge{name, at, 13.0, s, Ink::doubt});
        reach(at, 18.0);
    }

    /// A place on a straight stretch of the belt that no wheel covers.
    [[nodiscard]] Point clear_point(const BeltPath& path, const Drive& d) const {
        Point best;
        double most = -1e9;
        for (std::size_t i = 0; i < path.off.size(); ++i)
            for (const double share : {0.5, 0.35, 0.65, 0.2, 0.8}) {
                const Point at = path.off[i] + share * (path.on[i] - path.off[i]);
                double room = 40.0;  // more room than this is no better
                for (const auto& p : placed_)
                    if (!is_fan(p)) room = std::min(room, length(at - p.at) - p.radius);
                if (room > most + 1e-9) {
                    most = room;
                    best = at;
                }
            }
        return best + shift(d.name);
    }

    void fan(const Placed& p) {
        const auto& n = p.part->name;
        const Point at = p.at + shift(n);
        const int blades = std::clamp(p.part->blades.value_or(5), 2, 24);
        const double tip = p.radius, hub = std::min(0.3 * tip, 45.0);
        for (int i = 0; i < blades; ++i)
            add(Outline{n, blade_outline(at, hub, tip, round_turn * i / blades, 0.42 * round_turn / blades),
                        true, std::nullopt, std::nullopt, lit(n) ? Ink::lit : Ink::ghost_line, 1.0,
                        Outline::Hit::line});
        add(Disc{"", at, tip, std::nullopt, off(n) ? Ink::ghost : Ink::ghost_line, false});
        if (const double s = suspicion(n); s > 0.0) gauges_.push_back(Gauge{n, at, tip + 6.0, s, Ink::doubt});
        reach(at, tip + 8.0);
    }

    void cover(const Cover& c) {
        std::vector<Wheel> touched;
        for (const auto& name : c.can_touch)
            if (const auto* p = place_of(name)) touched.push_back({p->at, p->radius, false});
        if (touched.empty())
            for (const auto& name : c.can_touch)
                for (const auto& p : placed_)
                    if (p.part->drive == name || driven_by(p.part->name) == name)
                        touched.push_back({p.at, p.radius, false});
        if (touched.empty()) return;
        auto outline = band_round(touched, 17.0);
        for (auto& point : outline) point = point + shift(c.name);
        for (const auto& point : outline) reach(point, 2.0);
        const auto ink = lit(c.name) ? Ink::lit : off(c.name) ? Ink::ghost : Ink::cover;
        // Named where it is farthest from the middle of the engine: at its own edge.
        const auto far = std::max_element(outline.begin(), outline.end(), [](Point a, Point b) {
            return a.y + 0.4 * std::abs(a.x) < b.y + 0.4 * std::abs(b.x);
        });
        const Point edge = *far;
        add(Outline{c.name, std::move(outline), true, std::nullopt, std::nullopt, ink, 1.0,
                    Outline::Hit::line});
        badge(c.name, edge);
        if (view_.names) name(c.name, edge, {}, 1.0);
    }

    // Names ------------------------------------------------------------------------------------------------

    [[nodiscard]] std::vector<std::string> drive_facts(const Drive& d) const {
        std::vector<std::string> facts;
        if (!d.belt.empty()) facts.push_back(d.belt);
        if (const auto turns = turns_of_drive(layout_, d.name)) facts.push_back(ratio_text(turns->value));
        return facts;
    }

    [[nodiscard]] std::vector<std::string> part_facts(const Part& p) const {
        std::vector<std::string> facts;
        if (const auto turns = turns_of(layout_, p.name)) facts.push_back(ratio_text(turns->value));
        if (p.teeth) facts.push_back(filled(view_.words.teeth, "count", std::to_string(*p.teeth)));
        return facts;
    }

    /// A callout: name, suspicion, whether it is off, then facts.
    void name(const std::string& text, Point at, const std::vector<std::string>& facts, double weight) {
        std::vector<std::string> words;
        if (off(text)) words.push_back(view_.words.off);
        if (still(text) && !off(text)) words.push_back(view_.words.still);
        words.insert(words.end(), facts.begin(), facts.end());
        std::string second;
        for (const auto& w : words) second += (second.empty() ? "" : " \u00b7 ") + w;
        const double s = suspicion(text);
        Callout callout{text, at, {text}, Ink::text, weight + 10.0 * s};
        if (s > 0.0) {
            callout.lines.front() += "  " + probability_text(s);
            callout.ink = Ink::doubt;
        } else if (off(text) || still(text)) {
            callout.ink = Ink::ghost;
        }
        if (!second.empty()) callout.lines.push_back(second);
        add(callout);
        description_ += text + (second.empty() ? "" : " (" + second + ")") +
                        (s > 0.0 ? " " + probability_text(s) : "") + ". ";
    }

    /// Parts on one shaft are named at different places of their rims.
    void name_parts() {
        for (std::size_t i = 0; i < placed_.size(); ++i) {
            const auto& p = placed_[i];
            std::size_t larger = 0, together = 0;
            for (std::size_t j = 0; j < placed_.size(); ++j)
                if (j != i && length(placed_[j].at - p.at) < 0.5 * p.radius) {
                    ++together;
                    if (placed_[j].radius < p.radius || (placed_[j].radius == p.radius && j < i)) ++larger;
                }
            const double side = p.at.x < (low_.x + high_.x) / 2.0 ? std::numbers::pi : 0.0;
            Point at = p.at;
            if (together > 0)
                at = round_point(p.at, 0.86 * p.radius, (larger % 2 ? std::numbers::pi - side : side) + 0.5);
            name(p.part->name, at + shift(p.part->name), part_facts(*p.part), 2.0);
        }
    }

    Figure finish() {
        Figure figure;
        figure.title = view_.title;
        figure.aspect = 0.72;
        figure.least_height = 300.0;
        figure.most_height = 760.0;
        figure.description = description_;
        const auto names = std::count_if(elements_.begin(), elements_.end(),
                                         [](const Element& e) { return std::holds_alternative<Callout>(e); });
        figure.narrow_height = 9.0 * static_cast<double>(names) + 20.0;
        const auto guessed = static_cast<std::size_t>(
            std::count_if(placed_.begin(), placed_.end(), [](const Placed& p) { return p.guessed; }));
        figure.caption = guessed == 0                ? view_.words.from_front
                         : guessed == placed_.size() ? view_.words.places_guessed
                                                     : view_.words.some_guessed;
        if (placed_.empty()) {
            figure.caption = view_.words.nothing;
            return figure;
        }
        Panel panel;
        panel.drawing = true;
        panel.x.from = low_.x - 6.0;
        panel.x.to = high_.x + 6.0;
        panel.y.from = low_.y - 6.0;
        panel.y.to = high_.y + 6.0;
        panel.elements = std::move(elements_);
        figure.panels.push_back(std::move(panel));
        return figure;
    }

    const Layout& layout_;
    const EngineView& view_;
    std::vector<Placed> placed_;
    std::vector<Element> elements_;
    std::string description_;
    std::vector<Element> gauges_;  // above all else
    Point low_{1e9, 1e9}, high_{-1e9, -1e9};
};

}  // namespace

Figure engine_figure(const Layout& layout, const EngineView& view) { return Drawing(layout, view).make(); }

}  // namespace cranknote::figure
