// Points and boxes of a page or screen: x to the right, y down, in units of 1/96 inch ("px").
#pragma once

#include <algorithm>
#include <cmath>

namespace cranknote::figure {

struct Point {
    double x = 0.0, y = 0.0;
    friend Point operator+(Point a, Point b) { return {a.x + b.x, a.y + b.y}; }
    friend Point operator-(Point a, Point b) { return {a.x - b.x, a.y - b.y}; }
    friend Point operator*(double s, Point p) { return {s * p.x, s * p.y}; }
    bool operator==(const Point&) const = default;
};

[[nodiscard]] inline double dot(Point a, Point b) { return a.x * b.x + a.y * b.y; }
[[nodiscard]] inline double length(Point p) { return std::hypot(p.x, p.y); }
/// A quarter turn counter-clockwise where y points up.
[[nodiscard]] inline Point turned(Point p) { return {-p.y, p.x}; }

struct Size {
    double width = 0.0, height = 0.0;
};

/// x0 <= x1 and y0 <= y1.
struct Box {
    double x0 = 0.0, y0 = 0.0, x1 = 0.0, y1 = 0.0;
    [[nodiscard]] double width() const { return x1 - x0; }
    [[nodiscard]] double height() const { return y1 - y0; }
    [[nodiscard]] Point centre() const { return {(x0 + x1) / 2.0, (y0 + y1) / 2.0}; }
    [[nodiscard]] bool contains(Point p) const { return p.x >= x0 && p.x <= x1 && p.y >= y0 && p.y <= y1; }
    [[nodiscard]] Box grown(double by) const { return {x0 - by, y0 - by, x1 + by, y1 + by}; }
    bool operator==(const Box&) const = default;
};

/// True where they share more than an edge.
[[nodiscard]] inline bool overlap(const Box& a, const Box& b) {
    return a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1;
}

/// How far p is from the stretch a to b.
[[nodiscard]] inline double distance_to_segment(Point p, Point a, Point b) {
    const Point along = b - a;
    const double squared = dot(along, along);
    const double t = squared > 0.0 ? std::clamp(dot(p - a, along) / squared, 0.0, 1.0) : 0.0;
    return length(p - (a + t * along));
}

}  // namespace cranknote::figure
