// Circumstances, spots, and the turning of everything in a stretch.
#include <algorithm>
#include <cmath>

#include "simulate/voice.hpp"

namespace cranknote::simulate {

Spot spot_of(Place place) {
    switch (place) {
        case Place::block:
            return {0.02, 0.08, -0.25};
        case Place::head:
            return {0.0, 0.38, -0.22};
        case Place::exhaust:
            return {0.28, 0.1, -0.4};
        case Place::front:
            return {0.0, 0.2, -0.02};
        case Place::left:
            return {-0.2, 0.1, 0.03};
        case Place::right:
            return {0.2, 0.12, 0.03};
    }
    return {};
}

Spot spot_of(const Engine& engine, std::string_view name) {
    if (const auto* p = engine.part(name)) return {p->x_mm / 1000.0, p->y_mm / 1000.0, 0.02};
    if (const auto* d = engine.drive(name)) {
        Spot s{0.0, 0.0, 0.03};
        for (const auto& n : d->route) {
            const Spot p = spot_of(engine, n);
            s.x += p.x / static_cast<double>(d->route.size());
            s.y += p.y / static_cast<double>(d->route.size());
        }
        return s;
    }
    if (name == "valve train" || name == "injection" || name == "ignition") return spot_of(Place::head);
    if (name == "exhaust") return spot_of(Place::exhaust);
    if (name == "intake") return {-0.22, 0.35, -0.2};
    if (name == "clutch") return {0.0, 0.02, -0.6};
    return spot_of(Place::block);
}

Place place_of(const TruePart& part) {
    if (part.drive.empty() && part.on_shaft_of.empty()) return Place::front;
    if (part.x_mm < -120.0) return Place::left;
    if (part.x_mm > 120.0) return Place::right;
    return Place::front;
}

Circumstances circumstances(const Engine& engine, const TrueState& state) {
    Circumstances c;
    c.off = off_set(engine, state.off);
    c.still = still_set(engine, state.off);
    c.with.insert(state.with.begin(), state.with.end());
    c.cold = state.cold;
    if (c.with.contains("cylinder-cut")) c.dead_cylinder = 1;
    return c;
}

std::vector<double> Motion::turns_of(const Engine& engine, std::string_view name) const {
    const auto* part = engine.part(name);
    const auto* drive = engine.drive(name);
    double ratio = 1.0;
    if (part) ratio = part->turns;
    if (drive) ratio = drive->turns;
    const auto* friction = part                                ? friction_drive_of(engine, *part)
                           : drive && is_friction(drive->kind) ? drive
                                                               : nullptr;
    std::vector<double> turns(turning.turns);
    if (friction)
        for (const auto& [owner, lost] : crept)
            if (owner == friction->name)
                for (std::size_t i = 0; i < turns.size(); ++i) turns[i] -= static_cast<double>(lost[i]);
    for (double& t : turns) t *= ratio;
    return turns;
}

double Motion::ratio_of(const Engine& engine, std::string_view name) const {
    const auto turns = turns_of(engine, name);
    const double crank = turning.turns.back() - turning.turns.front();
    return crank > 0.0 ? (turns.back() - turns.front()) / crank : 0.0;
}

Motion move(const Engine& engine, const Course& course, double rate, double ripple,
            const std::string& slipping, double extra_creep, Dice dice) {
    Motion m;
    m.turning = turn(engine, course, rate, ripple, dice.fork("turn"));
    for (const auto& d : engine.drives)
        if (is_friction(d.kind))
            m.crept.emplace_back(d.name,
                                 crept_turns(m.turning, d, d.creep + (d.name == slipping ? extra_creep : 0.0),
                                             dice.fork("creep")));
    return m;
}

double load_of(const Circumstances& now) {
    double load = 1.0;
    if (now.with.contains("lock") && now.turns("steering pump")) load += 0.25;
    if (now.with.contains("ac-on") && now.turns("compressor")) load += 0.3;
    if (now.with.contains("lamps-on") && now.turns("alternator")) load += 0.12;
    if (now.with.contains("in-gear")) load += 0.15;
    if (!now.turns("alternator")) load -= 0.06;
    if (now.cold) load += 0.1;
    return load;
}

}  // namespace cranknote::simulate
