#include "simulate/engine.hpp"

#include <algorithm>
#include <numbers>

namespace cranknote::simulate {

namespace {

template <class T>
const T* by_name(const std::vector<T>& things, std::string_view name) {
    const auto it = std::find_if(things.begin(), things.end(), [&](const T& t) { return t.name == name; });
    return it == things.end() ? nullptr : &*it;
}

/// Turns of a part on a drive from the turns of the drive's driver.
double turns_on(const TrueDrive& drive, const TruePart& driver, const TruePart& part) {
    if (!is_friction(drive.kind) && driver.teeth > 0 && part.teeth > 0)
        return driver.turns * driver.teeth / part.teeth;
    // A smooth roller on a toothed belt: the belt's speed over its own pitch circle.
    const double driver_mm =
        is_friction(drive.kind) ? driver.pitch_mm : driver.teeth * drive.pitch_mm / std::numbers::pi;
    return part.pitch_mm > 0.0 ? driver.turns * driver_mm / part.pitch_mm : 0.0;
}

double loop_turns(const TrueDrive& drive, const TruePart& driver) {
    if (drive.kind == "gear") return 0.0;
    if (!is_friction(drive.kind)) return drive.teeth > 0 ? driver.turns * driver.teeth / drive.teeth : 0.0;
    return drive.length_mm > 0.0 ? driver.turns * std::numbers::pi * driver.pitch_mm / drive.length_mm : 0.0;
}

/// One round: every part whose driver is known gets its turns. Returns whether anything became known.
bool pass_turning_on(Engine& engine) {
    bool changed = false;
    for (auto& part : engine.parts) {
        if (part.turns > 0.0 || part.electric) continue;
        if (const auto* shaft = engine.part(part.on_shaft_of)) {
            part.turns = shaft->turns * (1.0 - part.viscous_slip);
        } else if (const auto* drive = engine.drive(part.drive)) {
            const auto* driver = engine.part(drive->driver);
            if (driver && driver->turns > 0.0) part.turns = turns_on(*drive, *driver, part);
        }
        changed = changed || part.turns > 0.0;
    }
    return changed;
}

}  // namespace

BearingRates rates_of(const TrueBearing& b) {
    const double size = b.ball_mm / b.pitch_circle_mm;
    BearingRates r;
    r.outer = b.balls / 2.0 * (1.0 - size);
    r.inner = b.balls / 2.0 * (1.0 + size);
    r.ball = b.pitch_circle_mm / b.ball_mm * (1.0 - size * size);
    r.cage = (b.outer_turns ? 1.0 + size : 1.0 - size) / 2.0;
    return r;
}

const TruePart* Engine::part(std::string_view n) const { return by_name(parts, n); }
const TrueDrive* Engine::drive(std::string_view n) const { return by_name(drives, n); }
const TrueCover* Engine::cover(std::string_view n) const { return by_name(covers, n); }
const TruePull* Engine::pull(std::string_view n) const { return by_name(pulls, n); }

bool is_friction(std::string_view kind) { return kind == "ribbed" || kind == "vee" || kind == "flat"; }

void set_turning(Engine& engine) {
    for (auto& part : engine.parts)
        part.turns = part.drive.empty() && part.on_shaft_of.empty() && !part.electric ? 1.0 : 0.0;
    while (pass_turning_on(engine)) {
    }
    for (auto& drive : engine.drives)
        if (const auto* driver = engine.part(drive.driver)) drive.turns = loop_turns(drive, *driver);
}

std::set<std::string> off_set(const Engine& engine, const std::vector<std::string>& off) {
    std::set<std::string> all;
    for (const auto& name : off) {
        if (const auto* pull = engine.pull(name))
            all.insert(pull->off.begin(), pull->off.end());
        else
            all.insert(name);
    }
    return all;
}

std::set<std::string> still_set(const Engine& engine, const std::vector<std::string>& off) {
    const auto gone = off_set(engine, off);
    std::set<std::string> still;
    for (const auto& name : gone)
        if (!engine.cover(name)) still.insert(name);
    for (std::size_t before = ~std::size_t{0}; before != still.size();) {
        before = still.size();
        for (const auto& d : engine.drives)
            if (still.contains(d.driver)) still.insert(d.name);
        for (const auto& p : engine.parts)
            if (still.contains(p.drive) || still.contains(p.on_shaft_of)) still.insert(p.name);
    }
    return still;
}

const TrueDrive* friction_drive_of(const Engine& engine, const TruePart& part) {
    if (const auto* shaft = engine.part(part.on_shaft_of)) return friction_drive_of(engine, *shaft);
    const auto* drive = engine.drive(part.drive);
    if (!drive) return nullptr;
    if (is_friction(drive->kind)) return drive;
    const auto* driver = engine.part(drive->driver);
    return driver ? friction_drive_of(engine, *driver) : nullptr;
}

}  // namespace cranknote::simulate
