#include "figure/belt_path.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cranknote::figure {

namespace {

constexpr double whole_turn = 2.0 * std::numbers::pi;
constexpr double passes_by = 1.98 * std::numbers::pi;  // a wrap of nearly a whole turn is none, by rounding

double wrapped(double angle) {
    const double rest = std::fmod(angle, whole_turn);
    return rest < 0.0 ? rest + whole_turn : rest;
}

/// +1 anticlockwise, −1 clockwise.
double sense_of(const std::vector<Wheel>& wheels) {
    double doubled_area = 0.0;
    for (std::size_t i = 0; i < wheels.size(); ++i) {
        const Point a = wheels[i].centre, b = wheels[(i + 1) % wheels.size()].centre;
        doubled_area += a.x * b.y - b.x * a.y;
    }
    return doubled_area < 0.0 ? -1.0 : 1.0;
}

/// Positive where the wheel lies to the left of the belt's run.
double signed_radius(const Wheel& wheel, double sense) {
    return sense * (wheel.back_side ? -wheel.radius : wheel.radius);
}

struct Stretch {
    Point from, to;
    Point normal;  ///< unit, to the left of the run
    bool sound = true;
};

Stretch stretch_between(const Wheel& a, const Wheel& b, double sense) {
    const Point along = b.centre - a.centre;
    const double distance = std::max(length(along), 1e-9), ra = signed_radius(a, sense),
                 rb = signed_radius(b, sense);
    const double sine = std::clamp((rb - ra) / distance, -1.0, 1.0);
    const Point e = (1.0 / distance) * along;
    const Point normal = std::sqrt(1.0 - sine * sine) * turned(e) + sine * e;
    return {a.centre - ra * normal, b.centre - rb * normal, normal, std::abs(rb - ra) < distance};
}

/// Points of the arc on a wheel, its ends left out.
void add_arc(std::vector<Point>& points, const Wheel& wheel, Point from, double turn) {
    const Point start = from - wheel.centre;
    const int steps = std::max(2, static_cast<int>(std::ceil(std::abs(turn) / 0.05)));
    for (int i = 1; i < steps; ++i) {
        const double angle = turn * i / steps, c = std::cos(angle), s = std::sin(angle);
        points.push_back(wheel.centre + Point{c * start.x - s * start.y, s * start.x + c * start.y});
    }
}

}  // namespace

BeltPath belt_path(const std::vector<Wheel>& wheels) {
    BeltPath path;
    const auto n = wheels.size();
    if (n < 2) return path;
    const double sense = sense_of(wheels);
    std::vector<Stretch> stretches;
    for (std::size_t i = 0; i < n; ++i) {
        stretches.push_back(stretch_between(wheels[i], wheels[(i + 1) % n], sense));
        path.sound = path.sound && stretches.back().sound;
        path.off.push_back(stretches.back().from);
        path.on.push_back(stretches.back().to);
    }
    for (std::size_t i = 0; i < n; ++i) {
        const auto &in = stretches[(i + n - 1) % n], &out = stretches[i];
        const double side = signed_radius(wheels[i], sense) < 0.0 ? -1.0 : 1.0;
        const double turned_by =
            std::atan2(out.normal.y, out.normal.x) - std::atan2(in.normal.y, in.normal.x);
        double wrap = wrapped(side * turned_by);
        if (wrap > passes_by) wrap = 0.0;
        path.points.push_back(in.to);
        add_arc(path.points, wheels[i], in.to, side * wrap);
        path.points.push_back(out.from);
        path.wrap.push_back(wrap);
        path.length += wrap * wheels[i].radius + length(out.to - out.from);
    }
    return path;
}

std::vector<Wheel> settled(std::vector<Wheel> wheels) {
    for (std::size_t round = 0; round < wheels.size(); ++round) {
        const auto path = belt_path(wheels);
        std::size_t worst = wheels.size();
        double most = 1.5 * std::numbers::pi;
        for (std::size_t i = 0; i < path.wrap.size(); ++i)
            if (path.wrap[i] > most) {
                most = path.wrap[i];
                worst = i;
            }
        if (worst == wheels.size()) return wheels;
        wheels[worst].back_side = !wheels[worst].back_side;
    }
    return wheels;
}

std::vector<Point> band_round(const std::vector<Wheel>& wheels, double margin) {
    std::vector<Point> points;
    for (const auto& wheel : wheels)
        for (int i = 0; i < 96; ++i) {
            const double angle = whole_turn * i / 96.0;
            points.push_back(wheel.centre +
                             (wheel.radius + margin) * Point{std::cos(angle), std::sin(angle)});
        }
    // The convex hull by monotone chains (Andrew 1979).
    std::sort(points.begin(), points.end(),
              [](Point a, Point b) { return a.x != b.x ? a.x < b.x : a.y < b.y; });
    std::vector<Point> hull;
    const auto left_turn = [](Point a, Point b, Point c) {
        return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x) > 1e-9;
    };
    for (int half = 0; half < 2; ++half) {
        const auto base = hull.size();
        for (const auto& p : points) {
            while (hull.size() >= base + 2 && !left_turn(hull[hull.size() - 2], hull.back(), p))
                hull.pop_back();
            hull.push_back(p);
        }
        if (!hull.empty()) hull.pop_back();
        std::reverse(points.begin(), points.end());
    }
    return hull;
}

}  // namespace cranknote::figure
