#include "figure/placement.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "figure/belt_path.hpp"
#include "layout/diameters.hpp"
#include "layout/kinematics.hpp"

namespace cranknote::figure {

namespace {

constexpr double between = 16.0;  // mm of air between two rims
constexpr double full_circle = 2.0 * std::numbers::pi;

const Drive* drive_of(const Layout& layout, const Part& part) {
    if (!part.drive.empty()) return layout.drive(part.drive);
    for (const auto& d : layout.drives)
        if (d.driver == part.name) return &d;
    return nullptr;
}

double usual_radius(const Part& part) {
    switch (part.kind) {
        case PartKind::crank_sprocket:
            return 32.0;
        case PartKind::cam_wheel:
            return 62.0;
        case PartKind::fan:
            return 190.0;
        case PartKind::flywheel:
        case PartKind::clutch:
            return 140.0;
        case PartKind::balance_shaft:
            return 30.0;
        default:
            break;
    }
    const auto usual = usual_diameter(part.kind);
    return usual ? (usual->first.value() + usual->second.value()) / 4.0 : 45.0;
}

/// From teeth, measure or counted turns; absent where none is known.
std::optional<double> known_radius(const Layout& layout, const Part& part) {
    const auto* drive = drive_of(layout, part);
    if (part.teeth)
        return *part.teeth * (drive && drive->pitch ? drive->pitch->value() : 9.525) / full_circle;
    if (const auto measured = measured_pitch_diameter(part, drive ? drive->kind : DriveKind::ribbed))
        return measured->value.value() / 2.0;
    return std::nullopt;
}

/// A driven part of unknown size turns as fast as it does because it is as small as it is.
double radius_of(const Layout& layout, const Part& part) {
    if (const auto known = known_radius(layout, part)) return std::clamp(*known, 8.0, 400.0);
    const auto* drive = drive_of(layout, part);
    const auto* driver = drive ? layout.part(drive->driver) : nullptr;
    const bool says = part.turns || part.ratio || part.kind == PartKind::cam_wheel;
    if (driver && driver != &part && says) {
        const auto own = turns_of(layout, part.name), its = turns_of(layout, driver->name);
        const double driving = known_radius(layout, *driver).value_or(usual_radius(*driver));
        if (own && its && own->value.value() > 0.0)
            return std::clamp(driving * its->value.value() / own->value.value(), 15.0, 250.0);
    }
    return usual_radius(part);
}

/// Where a kind of part usually is, as an angle round its drive's middle (degrees, 0 right, 90 up). Common
/// practice; it only has to look like an engine.
double usual_angle(const Part& part) {
    switch (part.kind) {
        case PartKind::alternator:
            return 25.0;
        case PartKind::compressor:
            return -20.0;
        case PartKind::water_pump:
            return 75.0;
        case PartKind::steering_pump:
        case PartKind::vacuum_pump:
            return 145.0;
        case PartKind::tensioner:
            return part.back_side ? 5.0 : 190.0;
        case PartKind::idler:
            return 200.0;
        case PartKind::cam_wheel:
            return 90.0 + (part.bank.value_or(0) == 1 ? 40.0 : part.bank.value_or(0) == 2 ? -40.0 : 0.0);
        case PartKind::injection_pump:
            return 40.0;
        case PartKind::oil_pump:
            return -60.0;
        default:
            return 120.0;
    }
}

class Arranger {
  public:
    explicit Arranger(const Layout& layout) : layout_(layout) {
        for (const auto& part : layout.parts) {
            Placed p{&part, {}, radius_of(layout, part), false, !part.at_mm.has_value()};
            if (part.at_mm) p.at = {(*part.at_mm)[0], (*part.at_mm)[1]};
            placed_.push_back(p);
            done_.push_back(part.at_mm.has_value());
        }
    }

    std::vector<Placed> arrange() {
        for (std::size_t i = 0; i < placed_.size(); ++i)  // shafts that are known to be the crank's
            if (!done_[i] && placed_[i].part->turns_with_crank) put(i, crank_centre());
        for (std::size_t round = 0; round <= layout_.drives.size(); ++round) {
            share_shafts();
            for (const auto& drive : layout_.drives) arrange_drive(drive);
        }
        share_shafts();
        loose_parts();
        push_apart();
        press_on();
        mark_timing();
        return std::move(placed_);
    }

  private:
    [[nodiscard]] std::optional<std::size_t> index_of(const std::string& name) const {
        for (std::size_t i = 0; i < placed_.size(); ++i)
            if (placed_[i].part->name == name) return i;
        return std::nullopt;
    }
    void put(std::size_t i, Point at) {
        placed_[i].at = at;
        done_[i] = true;
    }

    [[nodiscard]] Point crank_centre() const {
        for (const auto& p : placed_)
            if (p.part->turns_with_crank && p.part->at_mm) return p.at;
        return {};
    }

    /// Whoever shares a shaft shares its place.
    void share_shafts() {
        for (std::size_t i = 0; i < placed_.size(); ++i) {
            const auto other = index_of(placed_[i].part->on_shaft_of);
            if (!other) continue;
            if (!done_[i] && done_[*other]) put(i, placed_[*other].at);
            if (done_[i] && !done_[*other] && placed_[*other].guessed) put(*other, placed_[i].at);
        }
    }

    void arrange_drive(const Drive& drive) {
        const auto driver = index_of(drive.driver);
        if (!driver || !done_[*driver]) return;
        std::vector<std::size_t> members;
        for (const auto& name : drive.route)
            if (const auto i = index_of(name); i && *i != *driver) members.push_back(*i);
        for (std::size_t i = 0; i < placed_.size(); ++i)
            if (placed_[i].part->drive == drive.name && i != *driver &&
                std::find(members.begin(), members.end(), i) == members.end())
                members.push_back(i);
        if (members.empty() ||
            std::all_of(members.begin(), members.end(), [&](std::size_t i) { return done_[i]; }))
            return;
        if (drive.route.empty())
            std::stable_sort(members.begin(), members.end(), [&](std::size_t a, std::size_t b) {
                return usual_angle(*placed_[a].part) < usual_angle(*placed_[b].part);
            });
        drive.kind == DriveKind::gear ? mesh(*driver, members) : ring(drive, *driver, members);
    }

    /// Gears touch the one before them.
    void mesh(std::size_t driver, const std::vector<std::size_t>& members) {
        std::size_t before = driver;
        double angle = 75.0;
        for (const auto i : members) {
            if (!done_[i]) {
                const double apart = placed_[before].radius + placed_[i].radius,
                             radians = angle * std::numbers::pi / 180.0;
                put(i, placed_[before].at + apart * Point{std::cos(radians), std::sin(radians)});
                placed_[i].guessed = false;  // it stays in mesh
            }
            before = i;
            angle += 35.0;
        }
    }

    /// Round an ellipse that stands on the driver: high and narrow for a timing drive, broad for the others.
    void ring(const Drive& drive, std::size_t driver, const std::vector<std::size_t>& members) {
        const bool timing = is_timing(layout_, drive);
        double around = placed_[driver].radius * 2.0;
        for (const auto i : members) around += 2.0 * placed_[i].radius + 3.0 * between;
        const double mean = std::max(around / full_circle, placed_[driver].radius + 60.0);
        const bool broad = !timing || layout_.engine.arrangement != Arrangement::inline_;
        const double wide = broad ? 1.25 * mean : 0.62 * mean, high = broad ? 0.85 * mean : 1.5 * mean;
        const Point centre = placed_[driver].at + Point{0.0, high};
        for (std::size_t k = 0; k < members.size(); ++k) {
            const auto i = members[k];
            if (done_[i]) continue;
            double degrees =
                -90.0 + 360.0 * static_cast<double>(k + 1) / static_cast<double>(members.size() + 1);
            if (drive.route.empty()) degrees = 0.5 * degrees + 0.5 * usual_angle(*placed_[i].part);
            const double radians = degrees * std::numbers::pi / 180.0,
                         inward = placed_[i].part->back_side ? 0.72 : 1.0;
            put(i, centre + inward * Point{wide * std::cos(radians), high * std::sin(radians)});
        }
    }

    /// What no drive and no shaft holds: beside the rest.
    void loose_parts() {
        double right = 0.0, top = 0.0;
        for (std::size_t i = 0; i < placed_.size(); ++i)
            if (done_[i]) {
                right = std::max(right, placed_[i].at.x + placed_[i].radius);
                top = std::max(top, placed_[i].at.y);
            }
        for (std::size_t i = 0; i < placed_.size(); ++i) {
            if (done_[i]) continue;
            placed_[i].radius = std::min(placed_[i].radius, 78.0);
            right += placed_[i].radius + 2.0 * between;
            put(i, {right, top / 4.0});
            right += placed_[i].radius;
        }
    }

    [[nodiscard]] bool one_shaft(const Placed& a, const Placed& b) const {
        return (a.part->turns_with_crank && b.part->turns_with_crank) ||
               a.part->on_shaft_of == b.part->name || b.part->on_shaft_of == a.part->name ||
               (!a.part->on_shaft_of.empty() && a.part->on_shaft_of == b.part->on_shaft_of);
    }

    /// Guessed places give way until no rim covers another; shafts stay together. A fan is in front of all.
    void push_apart() {
        for (int round = 0; round < 300; ++round) {
            bool moved = false;
            for (auto& a : placed_)
                for (auto& b : placed_) {
                    if (&a == &b || !a.guessed || a.part->turns_with_crank || !a.part->on_shaft_of.empty())
                        continue;
                    if (one_shaft(a, b) || (b.part->kind == PartKind::fan && !b.part->on_shaft_of.empty()))
                        continue;
                    const double least = a.radius + b.radius + between;
                    Point away = a.at - b.at;
                    const double now = length(away);
                    if (now >= least) continue;
                    if (now < 1e-6) away = {1.0, 0.3};
                    const Point step = ((least - now + 0.5) / std::max(now, 1e-6)) * away;
                    const bool both = b.guessed && !b.part->turns_with_crank && b.part->on_shaft_of.empty();
                    a.at = a.at + (both ? 0.5 : 1.0) * step;
                    if (both) b.at = b.at - 0.5 * step;
                    moved = true;
                }
            for (auto& p : placed_)
                if (const auto other = index_of(p.part->on_shaft_of); other && p.guessed)
                    p.at = placed_[*other].at;
            if (!moved) return;
        }
    }

    /// A guessed part on the belt's back presses into the stretch that it runs on.
    void press_on() {
        for (auto& p : placed_) {
            if (!p.guessed || !p.part->back_side) continue;
            const auto* drive = layout_.drive(p.part->drive);
            if (!drive || drive->kind == DriveKind::gear) continue;
            const auto order = running_order(*drive, placed_);
            const auto mine = std::find(order.begin(), order.end(), p.part->name);
            if (mine == order.end() || order.size() < 3) continue;
            std::vector<Wheel> wheels;
            for (auto i = mine + 1; i != order.end(); ++i) add_wheel(wheels, *i);
            for (auto i = order.begin(); i != mine; ++i) add_wheel(wheels, *i);
            const auto path =
                belt_path(wheels);  // the last stretch runs from the one before to the one after
            const Point from = path.off.back(), to = path.on.back(), along = to - from;
            if (length(along) < 1.0) continue;
            const double share = std::clamp(dot(p.at - from, along) / dot(along, along), 0.3, 0.7);
            Point middle;
            for (const auto& w : wheels)
                middle = middle + (1.0 / static_cast<double>(wheels.size())) * w.centre;
            const Point foot = from + share * along;
            Point out = (1.0 / length(along)) * turned(along);
            if (dot(out, foot - middle) < 0.0) out = -1.0 * out;
            p.at = foot + (p.radius - std::min(0.6 * p.radius, 22.0)) * out;
        }
    }

    void add_wheel(std::vector<Wheel>& wheels, const std::string& name) const {
        if (const auto i = index_of(name))
            wheels.push_back({placed_[*i].at, placed_[*i].radius, placed_[*i].part->back_side});
    }

    void mark_timing() {
        for (const auto& drive : layout_.drives) {
            if (!is_timing(layout_, drive)) continue;
            for (auto& p : placed_)
                if (p.part->drive == drive.name || p.part->name == drive.driver) p.timing = true;
        }
    }

    const Layout& layout_;
    std::vector<Placed> placed_;
    std::vector<bool> done_;
};

}  // namespace

bool is_timing(const Layout& layout, const Drive& drive) {
    return std::any_of(layout.parts.begin(), layout.parts.end(),
                       [&](const Part& p) { return p.kind == PartKind::cam_wheel && p.drive == drive.name; });
}

std::vector<Placed> place_parts(const Layout& layout) { return Arranger(layout).arrange(); }

namespace {

/// Where a part fits into the round with the least detour, in front of that member.
std::size_t cheapest_place(const std::vector<Point>& round, Point at) {
    std::size_t best = round.size();
    double least = 1e18;
    for (std::size_t i = 0; i < round.size(); ++i) {
        const Point a = round[i], b = round[(i + 1) % round.size()];
        const double detour = length(at - a) + length(b - at) - length(b - a);
        if (detour < least) {
            least = detour;
            best = i + 1;
        }
    }
    return best;
}

}  // namespace

std::vector<std::string> running_order(const Drive& drive, const std::vector<Placed>& placed) {
    std::vector<const Placed*> order, rest;
    const auto named = [&](const std::string& name) {
        for (const auto& p : placed)
            if (p.part->name == name) order.push_back(&p);
    };
    for (const auto& name : drive.route) named(name);
    for (const auto& p : placed)
        if ((p.part->drive == drive.name || p.part->name == drive.driver) &&
            std::find(order.begin(), order.end(), &p) == order.end())
            rest.push_back(&p);
    if (order.size() < 2) {  // no route: round their middle
        order.insert(order.end(), rest.begin(), rest.end());
        rest.clear();
        Point middle;
        for (const auto* p : order) middle = middle + (1.0 / static_cast<double>(order.size())) * p->at;
        const auto angle = [&](const Placed* p) {
            return std::atan2(p->at.y - middle.y, p->at.x - middle.x);
        };
        std::sort(order.begin(), order.end(),
                  [&](const Placed* a, const Placed* b) { return angle(a) < angle(b); });
    }
    for (const auto* p : rest) {  // a route that forgot some of its parts
        std::vector<Point> round;
        for (const auto* o : order) round.push_back(o->at);
        order.insert(order.begin() + static_cast<std::ptrdiff_t>(cheapest_place(round, p->at)), p);
    }
    std::vector<std::string> names;
    for (const auto* p : order) names.push_back(p->part->name);
    return names;
}

}  // namespace cranknote::figure
