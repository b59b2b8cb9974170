#include "layout/route_length.hpp"

#include <cmath>
#include <numbers>
#include <vector>

#include "layout/belts.hpp"
#include "layout/diameters.hpp"
#include "layout/turns.hpp"

namespace cranknote {

namespace {

/// A circle that the belt runs round; `side` is +1 where its inside runs on it, -1 where its back does.
struct Circle {
    double x = 0.0, y = 0.0, radius = 0.0;
    int side = 1;
};

/// A chain's tensioner without a wheel is a blade that the chain slides on.
bool has_wheel(const Part& part, const Drive& drive) {
    const bool chain = drive.kind == DriveKind::chain || drive.kind == DriveKind::silent_chain;
    return !chain || part.teeth || std::holds_alternative<Millimetres>(part.diameter);
}

std::optional<Circle> circle_of(const Part& part, const Drive& drive) {
    if (!part.at_mm) return std::nullopt;
    std::optional<double> across;
    if (part.teeth && drive.pitch && is_toothed(drive.kind))
        across = *part.teeth * drive.pitch->value() / std::numbers::pi;
    else if (const auto measured = measured_pitch_diameter(part, drive.kind))
        across = measured->value.value();
    if (!across) return std::nullopt;
    return Circle{(*part.at_mm)[0], (*part.at_mm)[1], *across / 2.0, part.back_side ? -1 : 1};
}

/// A straight stretch between two circles: its length and direction.
struct Span {
    double length = 0.0, direction = 0.0;
};

/// Tangent for a belt that runs anticlockwise (turn = +1) or clockwise (-1) round circles of side +1.
std::optional<Span> span_between(const Circle& a, const Circle& b, int turn) {
    const double dx = b.x - a.x, dy = b.y - a.y, distance = std::hypot(dx, dy);
    const double offset = turn * (a.side * a.radius - b.side * b.radius);
    if (!(distance > std::abs(offset))) return std::nullopt;
    const double lean = std::asin(offset / distance);
    return Span{std::sqrt(distance * distance - offset * offset), std::atan2(dy, dx) + lean};
}

/// Twice the area inside the centres in the order of the route: its sign is the sense of running.
double doubled_area(const std::vector<Circle>& circles) {
    double sum = 0.0;
    for (std::size_t i = 0; i < circles.size(); ++i) {
        const auto& a = circles[i];
        const auto& b = circles[(i + 1) % circles.size()];
        sum += a.x * b.y - b.x * a.y;
    }
    return sum;
}

double wrapped(double angle) {
    const double full = 2.0 * std::numbers::pi;
    const double rest = std::fmod(angle, full);
    return rest < 0.0 ? rest + full : rest;
}

std::optional<double> length_round(const std::vector<Circle>& circles) {
    const int turn = doubled_area(circles) < 0.0 ? -1 : 1;
    std::vector<Span> spans;
    double length = 0.0;
    for (std::size_t i = 0; i < circles.size(); ++i) {
        const auto span = span_between(circles[i], circles[(i + 1) % circles.size()], turn);
        if (!span) return std::nullopt;
        spans.push_back(*span);
        length += span->length;
    }
    for (std::size_t i = 0; i < circles.size(); ++i) {
        const auto& in = spans[(i + circles.size() - 1) % circles.size()];
        const double angle = wrapped(turn * circles[i].side * (spans[i].direction - in.direction));
        // Nearly a full turn is a slight negative wrap: the belt passes without touching.
        if (angle < 1.75 * std::numbers::pi) length += angle * circles[i].radius;
    }
    return length;
}

}  // namespace

std::optional<Millimetres> loop_length(const Drive& drive) {
    if (drive.kind == DriveKind::gear) return std::nullopt;
    if (drive.teeth && drive.pitch) return *drive.pitch * *drive.teeth;
    if (drive.length) return drive.length;
    const auto size = read_belt_size(drive.belt);
    return size ? size->length : std::nullopt;
}

std::optional<Millimetres> route_length(const Layout& layout, const Drive& drive) {
    if (drive.kind == DriveKind::gear || drive.route.size() < 2) return std::nullopt;
    std::size_t on_it = 1;  // the driver
    for (const auto& p : layout.parts) on_it += p.drive == drive.name && has_wheel(p, drive) ? 1 : 0;
    if (on_it != drive.route.size()) return std::nullopt;
    std::vector<Circle> circles;
    for (const auto& name : drive.route) {
        const auto* part = layout.part(name);
        const auto circle = part ? circle_of(*part, drive) : std::nullopt;
        if (!circle) return std::nullopt;
        circles.push_back(*circle);
    }
    const auto length = length_round(circles);
    return length ? std::optional(Millimetres{*length}) : std::nullopt;
}

}  // namespace cranknote
