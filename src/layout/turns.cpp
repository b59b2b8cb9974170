#include "layout/turns.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "layout/route_length.hpp"

namespace cranknote {

namespace {

constexpr double sigmas = 1.96;         // 95 % limits in standard errors
const double uniform = std::sqrt(3.0);  // a uniform error of ± h has standard error h / sqrt 3

/// Every part's turns are found once: a part being worked on counts as unknown, which ends a loop.
struct Solver {
    const Layout& layout;
    std::map<const Part*, std::optional<Turns>> found = {};
};

std::optional<Turns> turns_at(Solver& solver, const Part& part);
std::optional<Mesh> mesh_at(Solver& solver, const Drive& drive);

UncertainRatio exact(double value) { return {Ratio{value}, 0.0, 0.0}; }

std::string count_text(int n, const char* what) { return std::to_string(n) + " " + what; }

UncertainRatio per_turn(const UncertainLength& pitch_diameter) {
    return {Ratio{std::numbers::pi * pitch_diameter.value.value()}, pitch_diameter.relative_error, 0.0};
}

/// The better of two independent readings of one thing, weighted by their errors (in the logarithm).
UncertainRatio combined(const UncertainRatio& a, const UncertainRatio& b) {
    if (a.relative_error <= 0.0) return a;
    if (b.relative_error <= 0.0) return b;
    const double wa = 1.0 / (a.relative_error * a.relative_error);
    const double wb = 1.0 / (b.relative_error * b.relative_error);
    const double mean = (wa * std::log(a.value.value()) + wb * std::log(b.value.value())) / (wa + wb);
    // Readings that disagree by more than their errors allow widen the result (Birge ratio).
    const double gap = std::abs(std::log(a.value / b.value));
    const double surprise = std::max(1.0, gap / std::hypot(a.relative_error, b.relative_error));
    return {Ratio{std::exp(mean)}, surprise / std::sqrt(wa + wb), std::max(a.creep, b.creep)};
}

/// Pitch of a toothed belt or chain; the two usual ones bound an unknown one (8 mm, 9.525 mm).
UncertainLength pitch_of(const Drive& drive) {
    if (drive.pitch) return {*drive.pitch, 0.0};
    if (drive.teeth && drive.length) return {*drive.length / *drive.teeth, 0.01 / sigmas};
    return length_between(Millimetres{8.0}, Millimetres{9.525});
}

std::optional<UncertainRatio> travel_from_driver(Solver& solver, const Drive& drive) {
    const auto* driver = solver.layout.part(drive.driver);
    if (!driver) return std::nullopt;
    const auto turns = turns_at(solver, *driver);
    const auto across = pitch_diameter(*driver, drive.kind);
    if (!turns || !across) return std::nullopt;
    return times(turns->ratio, per_turn(*across));
}

/// A pulley that was both measured and counted tells the belt's travel as well as the driver does.
std::optional<UncertainRatio> travel_from(const Part& part, DriveKind kind) {
    const auto turns = typed_turns(part);
    const auto across = measured_pitch_diameter(part, kind);
    if (!turns || !across) return std::nullopt;
    return times(*turns, per_turn(*across));
}

/// Millimetres of belt per crank turn, as a ratio of mm to turns.
std::optional<UncertainRatio> travel_at(Solver& solver, const Drive& drive) {
    if (is_toothed(drive.kind)) {
        const auto mesh = mesh_at(solver, drive);
        const auto pitch = pitch_of(drive);
        if (mesh) return times(mesh->ratio, {Ratio{pitch.value.value()}, pitch.relative_error, 0.0});
        if (drive.kind == DriveKind::gear) return std::nullopt;
    }
    auto travel = travel_from_driver(solver, drive);
    if (is_toothed(drive.kind)) return travel;
    for (const auto& part : solver.layout.parts) {
        if (part.drive != drive.name) continue;
        if (const auto other = travel_from(part, drive.kind))
            travel = travel ? combined(*travel, *other) : *other;
    }
    return travel;
}

/// A wheel of known teeth whose turns are known without the drive: the cam wheel, or one counted by hand.
std::optional<Mesh> mesh_from_driven(const Layout& layout, const Drive& drive) {
    for (const auto& part : layout.parts)
        if (part.drive == drive.name && part.teeth && part.kind == PartKind::cam_wheel)
            return Mesh{exact(*part.teeth * layout.engine.cam_ratio), {}};
    for (const auto& part : layout.parts)
        if (part.drive == drive.name && part.teeth)
            if (const auto turns = typed_turns(part)) return Mesh{scaled(*turns, *part.teeth), {}};
    return std::nullopt;
}

/// Which whole numbers of teeth on the driver an uncertain mesh leaves; absent where it is certain.
std::optional<UnknownCount> whole_teeth(const UncertainRatio& mesh, const UncertainRatio& driver) {
    if (mesh.relative_error == 0.0) return std::nullopt;
    const int low = static_cast<int>(std::ceil(mesh.low() / driver.value));
    const int high = static_cast<int>(std::floor(mesh.high() / driver.value));
    return low >= 4 && low <= high ? std::optional(UnknownCount{low, high, driver}) : std::nullopt;
}

std::optional<Mesh> mesh_at(Solver& solver, const Drive& drive) {
    if (!is_toothed(drive.kind)) return std::nullopt;
    const auto* driver = solver.layout.part(drive.driver);
    const auto turns = driver ? turns_at(solver, *driver) : std::nullopt;
    if (turns && driver->teeth) return Mesh{scaled(turns->ratio, *driver->teeth), {}};
    if (auto mesh = mesh_from_driven(solver.layout, drive)) {
        if (turns) mesh->count = whole_teeth(mesh->ratio, turns->ratio);
        return mesh;
    }
    if (!turns || drive.kind == DriveKind::gear) return std::nullopt;
    constexpr int low = 18, high = 24;  // usual crank sprockets (common practice)
    return Mesh{times(turns->ratio, ratio_between(low, high)), UnknownCount{low, high, turns->ratio}};
}

/// Both wheels counted: the ratio is exact but for the driver's own.
std::optional<Turns> turns_by_teeth(Solver& solver, const Part& part, const Drive& drive) {
    if (!is_toothed(drive.kind) || !part.teeth) return std::nullopt;
    const auto mesh = mesh_at(solver, drive);
    if (!mesh) return std::nullopt;
    const auto* driver = solver.layout.part(drive.driver);
    const bool counted = driver && driver->teeth;
    const auto ratio = over(mesh->ratio, exact(*part.teeth));
    if (mesh->count) return Turns{ratio, "usual teeth on " + std::to_string(*part.teeth)};
    if (counted) return Turns{ratio, count_text(*driver->teeth, "teeth on ") + std::to_string(*part.teeth)};
    return Turns{ratio, "teeth"};
}

std::optional<Turns> turns_as_usual(const Part& part, const Drive& drive) {
    const auto usual = usual_ratio(part.kind);
    if (!usual) return std::nullopt;
    auto ratio = ratio_between(usual->first.value(), usual->second.value());
    ratio.creep = is_friction(drive.kind) ? belt_creep : 0.0;
    return Turns{ratio, "usual range"};
}

std::string diameter_source(const Layout& layout, const Part& part, const Drive& drive) {
    const auto* driver = layout.part(drive.driver);
    const bool own = std::holds_alternative<Millimetres>(part.diameter);
    const bool drivers = driver && (std::holds_alternative<Millimetres>(driver->diameter) || driver->teeth);
    if (own && drivers) return "diameters";
    return own || drivers ? "one diameter, one usual" : "usual diameters";
}

std::optional<Turns> turns_by_diameter(Solver& solver, const Part& part, const Drive& drive) {
    const auto across = pitch_diameter(part, drive.kind);
    const auto travel = across ? travel_at(solver, drive) : std::nullopt;
    if (!travel) return std::nullopt;
    auto ratio = over(*travel, per_turn(*across));
    ratio.creep += belt_creep;  // a plain rim creeps on a toothed belt's back too
    return Turns{ratio, diameter_source(solver.layout, part, drive)};
}

/// A wheel with teeth that nobody counted on a toothed drive has no use for diameters of plain pulleys.
bool runs_by_diameter(const Part& part, DriveKind kind) {
    if (is_friction(kind)) return true;
    if (kind == DriveKind::gear) return false;
    if (part.back_side || std::holds_alternative<Millimetres>(part.diameter)) return true;
    return kind == DriveKind::toothed && running_of(part, kind) == Running::smooth;
}

std::optional<Turns> turns_through(Solver& solver, const Part& part, const Drive& drive) {
    if (auto by_teeth = turns_by_teeth(solver, part, drive)) return by_teeth;
    if (auto typed = typed_turns(part)) {
        typed->creep = is_friction(drive.kind) ? belt_creep : 0.0;
        return Turns{*typed, part.turns ? "counted by hand" : "typed"};
    }
    const auto usual = turns_as_usual(part, drive);
    if (!runs_by_diameter(part, drive.kind)) return usual;
    const auto measured = turns_by_diameter(solver, part, drive);
    if (!measured) return usual;
    const bool any = measured->source != "usual diameters";
    return !any && usual && usual->ratio.relative_error < measured->ratio.relative_error ? usual : measured;
}

std::optional<Turns> turns_unseen(Solver& solver, const Part& part) {
    if (part.electric) return std::nullopt;
    if (part.turns_with_crank) return Turns{exact(1.0), "with the crank"};
    if (!part.on_shaft_of.empty()) {
        const auto* host = solver.layout.part(part.on_shaft_of);
        auto turns = host ? turns_at(solver, *host) : std::nullopt;
        if (turns) turns = Turns{shaft_behind(*host, turns->ratio), "shaft of " + part.on_shaft_of};
        return turns;
    }
    if (part.kind == PartKind::cam_wheel && !part.drive.empty())
        return Turns{exact(solver.layout.engine.cam_ratio), "cam"};
    const auto* drive = solver.layout.drive(part.drive);
    if (drive) return turns_through(solver, part, *drive);
    if (const auto typed = typed_turns(part)) return Turns{*typed, part.turns ? "counted by hand" : "typed"};
    return std::nullopt;
}

std::optional<Turns> turns_at(Solver& solver, const Part& part) {
    if (const auto known = solver.found.find(&part); known != solver.found.end()) return known->second;
    solver.found[&part] = std::nullopt;
    return solver.found[&part] = turns_unseen(solver, part);
}

/// Length of a friction belt along its cord.
UncertainLength cord_length(const Drive& drive) {
    // A length by tape lies on the back, printed ones are made to about 0.7 % (memory: ISO 9981).
    constexpr double limit = 0.012;
    if (const auto known = loop_length(drive)) return {*known, limit / sigmas};
    return length_between(Millimetres{700}, Millimetres{2600});  // common practice
}

}  // namespace

Ratio UncertainRatio::low() const { return value * (std::exp(-sigmas * relative_error) * (1.0 - creep)); }
Ratio UncertainRatio::high() const { return value * std::exp(sigmas * relative_error); }

UncertainRatio times(const UncertainRatio& a, const UncertainRatio& b) {
    return {a.value * b.value.value(), std::hypot(a.relative_error, b.relative_error), a.creep + b.creep};
}
UncertainRatio over(const UncertainRatio& a, const UncertainRatio& b) {
    return {a.value / b.value.value(), std::hypot(a.relative_error, b.relative_error), a.creep};
}
UncertainRatio scaled(UncertainRatio r, double factor) {
    r.value = r.value * factor;
    return r;
}
UncertainRatio widened(UncertainRatio r, double relative_error) {
    r.relative_error = std::hypot(r.relative_error, relative_error);
    return r;
}
UncertainRatio ratio_between(double low, double high) {
    return {Ratio{std::sqrt(low * high)}, std::log(high / low) / (2.0 * sigmas), 0.0};
}

bool is_friction(DriveKind kind) {
    return kind == DriveKind::ribbed || kind == DriveKind::vee || kind == DriveKind::flat;
}
bool is_toothed(DriveKind kind) { return !is_friction(kind); }

UncertainRatio shaft_behind(const Part& part, const UncertainRatio& pulley) {
    if (part.viscous) return times(pulley, ratio_between(0.2, 1.0));
    return part.decoupler ? widened(pulley, 0.01) : pulley;
}

std::optional<UncertainRatio> typed_turns(const Part& part) {
    if (part.turns) {
        const auto [crank, own] = *part.turns;
        // Whole turns: rounded to the nearest. With a fraction: a chalk mark is read to a quarter of a turn.
        const double half = own == std::floor(own) ? 0.5 : 0.25;
        return UncertainRatio{Ratio{own / crank}, half / uniform / own, 0.0};
    }
    if (!part.ratio) return std::nullopt;
    const double half = 0.5 * std::pow(10.0, -part.ratio_decimals);  // rounded to the digits typed
    return UncertainRatio{*part.ratio, half / uniform / part.ratio->value(), 0.0};
}

std::optional<Turns> find_turns(const Layout& layout, const Part& part) {
    Solver solver{layout};
    return turns_at(solver, part);
}
std::optional<Mesh> mesh_of(const Layout& layout, const Drive& drive) {
    Solver solver{layout};
    return mesh_at(solver, drive);
}

std::optional<UncertainRatio> turns_of(const Layout& layout, const std::string& part) {
    const auto* p = layout.part(part);
    const auto turns = p ? find_turns(layout, *p) : std::nullopt;
    return turns ? std::optional(turns->ratio) : std::nullopt;
}

std::string turns_source(const Layout& layout, const std::string& part) {
    const auto* p = layout.part(part);
    const auto turns = p ? find_turns(layout, *p) : std::nullopt;
    return turns ? turns->source : "";
}

std::optional<Mesh> loop_turns(const Layout& layout, const Drive& drive) {
    if (drive.kind == DriveKind::gear) return std::nullopt;
    if (is_toothed(drive.kind)) {
        auto mesh = mesh_of(layout, drive);
        if (!mesh) return std::nullopt;
        if (drive.teeth) {
            mesh->ratio = scaled(mesh->ratio, 1.0 / *drive.teeth);
            if (mesh->count) mesh->count->each = scaled(mesh->count->each, 1.0 / *drive.teeth);
            return mesh;
        }
        if (drive.length && drive.pitch) {
            const double teeth = std::round(*drive.length / *drive.pitch);
            return Mesh{widened(scaled(mesh->ratio, 1.0 / teeth), 0.5 / uniform / teeth), {}};
        }
        return Mesh{over(mesh->ratio, ratio_between(100, 220)),
                    {}};  // usual belts and chains (common practice)
    }
    Solver solver{layout};
    auto travel = travel_at(solver, drive);
    if (!travel) return std::nullopt;
    travel->creep = belt_creep;
    const auto length = cord_length(drive);
    return Mesh{over(*travel, {Ratio{length.value.value()}, length.relative_error, 0.0}), {}};
}

std::optional<UncertainRatio> turns_of_drive(const Layout& layout, const std::string& drive) {
    const auto* d = layout.drive(drive);
    const auto turns = d ? loop_turns(layout, *d) : std::nullopt;
    return turns ? std::optional(turns->ratio) : std::nullopt;
}

}  // namespace cranknote
