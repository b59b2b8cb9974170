#include "layout/check_layout.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "layout/route_length.hpp"
#include "layout/turns.hpp"

namespace cranknote::layout_file {

namespace {

std::string thing(std::string_view kind, std::size_t i) {
    return std::string(kind) + "/" + std::to_string(i);
}

std::string quoted(const std::string& name) { return "`" + shown(name) + "`"; }

std::string rounded(double value) {
    const double scale = value < 10 ? 1000.0 : 10.0;
    return plain_number(std::round(value * scale) / scale);
}

template <class T>
std::vector<std::string> names_in(const std::vector<T>& things) {
    std::vector<std::string> out;
    for (const auto& t : things) out.push_back(t.name);
    return out;
}

// ---- names

template <class T>
void check_unique(const std::vector<T>& things, std::string_view kind, std::set<std::string>& seen,
                  const File& file) {
    for (std::size_t i = 0; i < things.size(); ++i) {
        const auto& name = things[i].name;
        const bool engine = std::find(engine_names.begin(), engine_names.end(), name) != engine_names.end();
        if (engine)
            file.fail_key(file.spot(thing(kind, i), "name"), "name",
                          "another name: " + quoted(name) + " means the engine's own");
        if (!seen.insert(name).second)
            file.fail_key(file.spot(thing(kind, i), "name"), "name",
                          "a name that nothing else has: " + quoted(name) + " is taken");
    }
}

void check_names(const Layout& l, const File& file) {
    std::set<std::string> seen;
    check_unique(l.drives, "drive", seen, file);
    check_unique(l.parts, "part", seen, file);
    check_unique(l.covers, "cover", seen, file);
    check_unique(l.pulls, "pull", seen, file);
}

[[noreturn]] void fail_unknown(const File& file, const std::string& where, std::string_view key,
                               const std::string& what, const std::string& name,
                               const std::vector<std::string>& valid) {
    file.fail_key(file.spot(where, key), key, what + ", found " + quoted(name), nearest_name(name, valid));
}

void check_listed(const File& file, const std::string& where, std::string_view key, const std::string& what,
                  const std::vector<std::string>& listed, const std::vector<std::string>& valid) {
    for (const auto& name : listed)
        if (std::find(valid.begin(), valid.end(), name) == valid.end())
            fail_unknown(file, where, key, what, name, valid);
}

void check_references(const Layout& l, const File& file) {
    const auto parts = names_in(l.parts), drives = names_in(l.drives), covers = names_in(l.covers);
    auto turning = parts;
    turning.insert(turning.end(), drives.begin(), drives.end());
    auto removable = turning;
    removable.insert(removable.end(), covers.begin(), covers.end());
    for (std::size_t i = 0; i < l.drives.size(); ++i) {
        check_listed(file, thing("drive", i), "driver", "the name of a part", {l.drives[i].driver}, parts);
        check_listed(file, thing("drive", i), "route", "names of parts", l.drives[i].route, parts);
    }
    for (std::size_t i = 0; i < l.parts.size(); ++i) {
        const auto& p = l.parts[i];
        if (!p.drive.empty())
            check_listed(file, thing("part", i), "drive", "the name of a drive", {p.drive}, drives);
        if (!p.on_shaft_of.empty())
            check_listed(file, thing("part", i), "on_shaft_of", "the name of a part", {p.on_shaft_of}, parts);
    }
    for (std::size_t i = 0; i < l.covers.size(); ++i)
        check_listed(file, thing("cover", i), "can_touch", "names of parts or drives", l.covers[i].can_touch,
                     turning);
    for (std::size_t i = 0; i < l.pulls.size(); ++i) {
        check_listed(file, thing("pull", i), "off", "names of drives, parts or covers", l.pulls[i].off,
                     removable);
        check_listed(file, thing("pull", i), "requires", "names of pulls", l.pulls[i].requires_,
                     names_in(l.pulls));
    }
}

// ---- what drives what

/// Parts that may turn without being driven from the crank, or not at all.
bool may_be_undriven(const Part& p) {
    return p.electric || p.kind == PartKind::turbo || p.kind == PartKind::other;
}

void check_driven_once(const Layout& l, const Part& p, const std::string& where, const File& file) {
    const int ways =
        (p.turns_with_crank ? 1 : 0) + (p.drive.empty() ? 0 : 1) + (p.on_shaft_of.empty() ? 0 : 1);
    if (p.electric && ways > 0)
        file.fail_key(file.spot(where, "electric"), "electric",
                      "no `drive`, `on_shaft_of` or `turns_with` beside it: electric means not driven");
    if (ways > 1)
        file.fail_key(file.spot(where, "drive"), "drive",
                      "only one of `drive`, `on_shaft_of` and `turns_with`");
    if (ways == 1 || may_be_undriven(p)) return;
    std::string nearest;
    for (const auto& d : l.drives)
        if (std::find(d.route.begin(), d.route.end(), p.name) != d.route.end()) nearest = d.name;
    file.fail_key(file.spot(where, "name"), "drive",
                  "what turns " + quoted(p.name) + ": `drive`, `on_shaft_of` or turns_with = \"crank\"",
                  nearest);
}

/// The part that turns this one, nullptr at the crank.
const Part* turned_by(const Layout& l, const Part& p) {
    if (!p.on_shaft_of.empty()) return l.part(p.on_shaft_of);
    const auto* d = l.drive(p.drive);
    return d ? l.part(d->driver) : nullptr;
}

void check_no_loop(const Layout& l, const Part& part, const std::string& where, const File& file) {
    std::set<const Part*> seen;
    for (const auto* p = &part; p; p = turned_by(l, *p)) {
        if (seen.insert(p).second) continue;
        const std::string key = part.drive.empty() ? "on_shaft_of" : "drive";
        file.fail_key(
            file.spot(where, key), key,
            "a way to the crank: " + quoted(part.name) + " is driven in a loop, through " + quoted(p->name));
    }
}

void check_driver(const Layout& l, const Drive& d, const std::string& where, const File& file) {
    const auto* driver = l.part(d.driver);
    if (driver->electric)
        file.fail_key(file.spot(where, "driver"), "driver",
                      "a part that turns, found the electric " + quoted(d.driver));
    const bool turns = driver->turns_with_crank || !driver->drive.empty() || !driver->on_shaft_of.empty();
    if (!turns)
        file.fail_key(file.spot(where, "driver"), "driver",
                      "a part that something turns: nothing turns " + quoted(d.driver));
}

void check_route(const Layout& l, const Drive& d, const std::string& where, const File& file) {
    if (d.route.empty()) return;
    std::set<std::string> seen;
    const auto at = file.spot(where, "route");
    for (const auto& name : d.route) {
        if (!seen.insert(name).second)
            file.fail_key(at, "route", "each part once, found " + quoted(name) + " twice");
        const auto* part = l.part(name);
        if (name != d.driver && part->drive != d.name)
            file.fail_key(at, "route",
                          "parts that run on " + quoted(d.name) + ": " + quoted(name) +
                              (part->drive.empty() ? " does not say so by its `drive`"
                                                   : " runs on " + quoted(part->drive)));
    }
    if (!seen.contains(d.driver))
        file.fail_key(at, "route", "the driver " + quoted(d.driver) + " among them");
}

void check_drives(const Layout& l, const File& file) {
    for (std::size_t i = 0; i < l.parts.size(); ++i) {
        check_driven_once(l, l.parts[i], thing("part", i), file);
        check_no_loop(l, l.parts[i], thing("part", i), file);
    }
    for (std::size_t i = 0; i < l.drives.size(); ++i) {
        check_driver(l, l.drives[i], thing("drive", i), file);
        check_route(l, l.drives[i], thing("drive", i), file);
    }
}

// ---- counts and measures against each other

void check_cam(const Layout& l, const Part& p, const std::string& where, const File& file) {
    const auto* d = l.drive(p.drive);
    if (p.kind != PartKind::cam_wheel || !d) return;
    if (is_friction(d->kind))
        file.fail_key(file.spot(where, "drive"), "drive", "a toothed belt, chain or gear for a cam wheel");
    const auto* driver = l.part(d->driver);
    const auto turns = find_turns(l, *driver);
    const double cam = l.engine.cam_ratio;
    if (p.teeth && driver->teeth && turns && turns->ratio.relative_error == 0.0) {
        const double fitting = turns->ratio.value.value() * *driver->teeth / cam;
        if (std::abs(fitting - *p.teeth) > 0.01)
            file.fail_key(file.spot(where, "teeth"), "teeth",
                          rounded(fitting) + " teeth (cam_ratio " + plain_number(cam) + " and " +
                              std::to_string(*driver->teeth) + " on " + quoted(driver->name) + "), found " +
                              std::to_string(*p.teeth));
    }
    const auto typed = typed_turns(p);
    const std::string key = p.turns ? "turns" : "ratio";
    if (typed && std::abs(std::log(typed->value.value() / cam)) > 3.0 * typed->relative_error)
        file.fail_key(
            file.spot(where, key), key,
            plain_number(cam) + " a crank turn as cam_ratio says, found " + rounded(typed->value.value()));
}

void check_typed(const Layout& l, const Part& p, const std::string& where, const File& file) {
    const auto typed = typed_turns(p);
    const auto* d = l.drive(p.drive);
    if (!typed || !d) return;
    const auto at = file.spot(where, p.turns ? "turns" : "ratio");
    const std::string key = p.turns ? "turns" : "ratio", found = ", found " + rounded(typed->value.value());
    if (!std::holds_alternative<Millimetres>(p.diameter) && !p.teeth) return;
    auto without = l;  // what would be known if nobody had typed it
    auto& part = without.parts[static_cast<std::size_t>(&p - l.parts.data())];
    part.turns.reset();
    part.ratio.reset();
    const auto other = find_turns(without, part);
    if (!other || other->ratio.relative_error > 0.1) return;
    const double gap = std::abs(std::log(typed->value / other->ratio.value));
    const double allowed = 4.0 * std::hypot(typed->relative_error, other->ratio.relative_error);
    // Tapes and calipers go wrong more often than their limits say; a tooth count does not.
    if (gap > allowed + (p.teeth ? 1e-9 : 0.1))
        file.fail_key(
            at, key,
            "about " + rounded(other->ratio.value.value()) + " a crank turn by " + other->source + found);
}

void check_loop_length(const Layout& l, const Drive& d, const std::string& where, const File& file) {
    if (d.teeth && d.pitch && d.length) {
        const double by_teeth = *d.teeth * d.pitch->value();
        if (std::abs(by_teeth / d.length->value() - 1.0) > 0.02)
            file.fail_key(file.spot(where, "length_mm"), "length_mm",
                          rounded(by_teeth) + " (" + std::to_string(*d.teeth) + " × " +
                              plain_number(d.pitch->value()) + " mm), found " +
                              plain_number(d.length->value()));
    }
    for (const auto& p : l.parts) {
        const bool on_it = p.name == d.driver || p.drive == d.name;
        if (!on_it || !p.teeth || !d.teeth || *p.teeth < *d.teeth || d.kind == DriveKind::gear) continue;
        const std::string key = d.kind == DriveKind::toothed ? "teeth" : "links";
        file.fail_key(file.spot(where, key), key,
                      "more than the " + std::to_string(*p.teeth) + " teeth of " + quoted(p.name) +
                          ", found " + std::to_string(*d.teeth));
    }
    const auto route = route_length(l, d);
    const auto loop = loop_length(d);
    if (!route || !loop) return;
    // at_mm is measured by eye and tensioners swing: only what no swing explains is an error.
    const double share = *loop / *route;
    if (share > 0.75 && share < 1.35) return;
    const std::string key = d.teeth ? (d.kind == DriveKind::toothed ? "teeth" : "links") : "length_mm";
    file.fail_key(file.spot(where, key), key,
                  "a loop of about " + plain_number(std::round(route->value())) +
                      " mm, as the route with its `at_mm` is long, found " +
                      plain_number(std::round(loop->value())) + " mm");
}

void check_drive_keys(const Drive& d, const std::string& where, const File& file) {
    if (d.kind != DriveKind::gear) return;
    for (const auto* key : {"length_mm", "belt", "pitch_mm"})
        if (file.spots.contains(where + "/" + key))
            file.fail_key(file.spot(where, key), key, "no belt or chain on a pair of gears");
}

void check_part_keys(const Layout& l, const Part& p, const std::string& where, const File& file) {
    if (p.bank && l.engine.arrangement == Arrangement::inline_)
        file.fail_key(file.spot(where, "bank"), "bank", "no banks on an inline engine");
    const auto* d = l.drive(p.drive);
    const bool no_back = d && (d->kind == DriveKind::gear || d->kind == DriveKind::chain ||
                               d->kind == DriveKind::silent_chain);
    if (p.back_side && (!d || no_back))
        file.fail_key(file.spot(where, "back_side"), "back_side", "a belt, for its back to run on the part");
    if (p.back_side && p.teeth)
        file.fail_key(file.spot(where, "teeth"), "teeth",
                      "no teeth where the back of the belt runs on the part");
}

// ---- safety

/// What must never stand still may not be declared harmless.
void check_run_without(const Layout& l, const File& file) {
    auto expect_never = [&](const std::string& where, const std::string& why) {
        file.fail_key(file.spot(where, "run_without"), "run_without", "`never`: " + why);
    };
    for (std::size_t i = 0; i < l.drives.size(); ++i) {
        const auto& d = l.drives[i];
        if (d.run_without && d.run_without != RunWithout::never && is_vital_drive(l, d))
            expect_never(thing("drive", i),
                         quoted(d.name) + " turns a cam wheel, injection pump or oil pump");
    }
    for (std::size_t i = 0; i < l.parts.size(); ++i) {
        const auto& p = l.parts[i];
        if (!p.run_without || p.run_without == RunWithout::never) continue;
        const auto* d = l.drive(p.drive);
        const bool vital = p.kind == PartKind::cam_wheel || p.kind == PartKind::injection_pump ||
                           p.kind == PartKind::oil_pump || p.kind == PartKind::crank_sprocket;
        if (vital && !p.electric)
            expect_never(thing("part", i), "the engine is destroyed or stops without " + quoted(p.name));
        if (p.kind == PartKind::tensioner && d && is_vital_drive(l, *d))
            expect_never(thing("part", i), quoted(p.name) + " keeps " + quoted(d->name) + " in time");
    }
}

void check_requires(const Layout& l, const File& file) {
    for (std::size_t i = 0; i < l.pulls.size(); ++i) {
        std::set<std::string> seen;
        std::vector<std::string> open = l.pulls[i].requires_;
        while (!open.empty()) {
            const auto name = open.back();
            open.pop_back();
            if (name == l.pulls[i].name)
                file.fail_key(file.spot(thing("pull", i), "requires"), "requires",
                              "pulls that come before: " + quoted(name) + " requires itself");
            if (!seen.insert(name).second) continue;
            const auto& further = l.pull(name)->requires_;
            open.insert(open.end(), further.begin(), further.end());
        }
    }
}

}  // namespace

void check_layout(const Layout& l, const File& file) {
    check_names(l, file);
    check_references(l, file);
    check_drives(l, file);
    for (std::size_t i = 0; i < l.drives.size(); ++i) {
        check_drive_keys(l.drives[i], thing("drive", i), file);
        check_loop_length(l, l.drives[i], thing("drive", i), file);
    }
    for (std::size_t i = 0; i < l.parts.size(); ++i) {
        check_part_keys(l, l.parts[i], thing("part", i), file);
        check_cam(l, l.parts[i], thing("part", i), file);
        check_typed(l, l.parts[i], thing("part", i), file);
    }
    check_run_without(l, file);
    check_requires(l, file);
}

}  // namespace cranknote::layout_file
