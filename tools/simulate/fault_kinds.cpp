// Which faults an engine can have, and in which states they are heard.
#include <algorithm>

#include "simulate/fault.hpp"

namespace cranknote::simulate {

namespace {

using List = std::vector<Fault>;

void put(List& list, std::string kind, std::string part, std::string variant, std::string words,
         std::vector<std::string> also = {}) {
    Fault f;
    f.cause.kind = std::move(kind);
    if (!part.empty()) f.cause.part = part;
    f.cause.also = std::move(also);
    f.cause.words = (part.empty() ? "" : part + ": ") + words;
    f.variant = std::move(variant);
    list.push_back(std::move(f));
}

void friction_drive_faults(const Engine& e, const TrueDrive& d, List& list) {
    put(list, "slip", d.name, "", "slips and squeals");
    put(list, "misalignment", d.name, "belt turn", "runs out of line, chirps once per belt turn");
    put(list, "misalignment", d.name, "pulley turn", "runs out of line, chirps once per pulley turn");
    put(list, "edge", d.name, "belt turn", "edge rustles against a flange");
    for (const auto& c : e.covers)
        if (std::find(c.can_touch.begin(), c.can_touch.end(), d.name) != c.can_touch.end())
            put(list, "edge", d.name, "belt turn", "edge brushes the " + c.name, {c.name});
}

void positive_drive_faults(const Engine& e, const TrueDrive& d, List& list) {
    if (d.kind == "gear") return put(list, "gear", d.name, "", "gear mesh whines");
    if (d.kind != "toothed") {
        put(list, "chain", d.name, "whine", "chain mesh whines");
        return put(list, "chain", d.name, "rattle", "chain rattles");
    }
    put(list, "mesh", d.name, "", "toothed belt whines at its mesh");
    for (const auto& c : e.covers)
        if (std::find(c.can_touch.begin(), c.can_touch.end(), d.name) != c.can_touch.end())
            for (const auto* turn : {"belt turn", "wheel turn"})
                put(list, "edge", d.name, turn, "edge brushes the " + c.name, {c.name});
}

void pump_faults(const TruePart& p, List& list) {
    if (p.vanes > 0) put(list, "pump", p.name, "whine", "whines at its vanes");
    if (p.vanes > 0 && (p.kind == "steering pump" || p.kind == "water pump"))
        put(list, "pump", p.name, "cavitation", "cavitates");
    if (p.pistons > 0) put(list, "pump", p.name, "whine", "growls at its pistons");
    if (p.lobes > 0) put(list, "pump", p.name, "whine", "whines at its lobes");
    if (p.plungers > 0) put(list, "pump", p.name, "whine", "knocks at its plungers");
}

void part_faults(const TruePart& p, List& list) {
    if (p.electric) return;
    if (p.bearing)
        for (const auto* race : {"outer race", "inner race", "ball"})
            put(list, "bearing", p.name, race, std::string("bearing, ") + race);
    pump_faults(p, list);
    if (p.kind == "fan") put(list, "blade", p.name, "", "a bent blade whoops");
    if (p.kind == "alternator" && p.pole_pairs > 0)
        for (const auto* v : {"ripple", "diode"})
            put(list, "electrical", p.name, v, std::string("electrical whine, ") + v);
    if (p.kind == "tensioner") put(list, "rattle", p.name, "", "rattles on its stop");
    if (p.kind == "crank pulley") put(list, "rattle", p.name, "", "damper ring is loose");
}

void rub_faults(const Engine& e, List& list) {
    for (const auto& c : e.covers)
        for (const auto& name : c.can_touch)
            if (const auto* p = e.part(name); p && !p->electric && p->turns > 0.0)
                for (const auto* v : {"scrape", "tick"})
                    put(list, "rub", name, v, "touches the " + c.name, {c.name});
}

void engine_faults(const Engine& e, List& list) {
    if (e.stroke == 4) put(list, "valve", "valve train", "", "one valve ticks");
    put(list, "knock", "crank", "once a turn", "a rod knocks every turn");
    put(list, "knock", "crank", "once a cycle", "a rod knocks at its firing");
    put(list, "slap", "crank", "", "a piston slaps");
    if (e.stroke == 4) {
        put(list, "injector", "injection", "one", "one injector ticks");
        put(list, "injector", "injection", "all", "all injectors tick");
    }
    put(list, "exhaust", "exhaust", "port", "leaks at one port");
    put(list, "exhaust", "exhaust", "manifold", "leaks behind all ports");
    put(list, "intake", "intake", "hiss", "draws false air, hisses");
    put(list, "intake", "intake", "whistle", "draws false air, whistles");
    if (e.cylinders >= 2) put(list, "firing", "ignition", "", "one cylinder fires weakly");
    put(list, "clutch", "clutch", "release bearing", "release bearing grinds with the pedal down");
    put(list, "clutch", "clutch", "input shaft", "input shaft bearing rumbles with the pedal up");
    for (const auto* v : {"hum", "fan", "fuel pump", "compressor"})
        put(list, "outside", "", v, std::string("outside the engine: ") + v);
    put(list, "other", "", "buzz", "a loose heat shield buzzes with the firing");
}

bool has(const Circumstances& now, const char* check) { return now.with.contains(check); }

}  // namespace

std::vector<Fault> possible_faults(const Engine& engine) {
    List list;
    for (const auto& d : engine.drives)
        is_friction(d.kind) ? friction_drive_faults(engine, d, list) : positive_drive_faults(engine, d, list);
    for (const auto& p : engine.parts) part_faults(p, list);
    rub_faults(engine, list);
    engine_faults(engine, list);
    return list;
}

bool sounds_in(const Engine& engine, const Fault& f, const Circumstances& now) {
    if (f.cause.part && !now.turns(*f.cause.part)) return false;
    for (const auto& name : f.cause.also)
        if (now.off.contains(name)) return false;
    if (f.cause.kind == "misalignment" && has(now, "mist")) return false;
    if (f.variant == "release bearing") return has(now, "clutch-down");
    if (f.variant == "input shaft") return !has(now, "clutch-down");
    if (f.cause.kind == "pump" && f.cause.part) {
        const auto* p = engine.part(*f.cause.part);
        if (p && p->clutch) return has(now, "ac-on");
    }
    return true;
}

double strength_in(const Engine& engine, const Fault& f, const Circumstances& now) {
    double s = 1.0;
    const auto* part = f.cause.part ? engine.part(*f.cause.part) : nullptr;
    const auto loads = [&](const char* check, const char* kind) {
        if (!has(now, check)) return false;
        return std::any_of(engine.parts.begin(), engine.parts.end(), [&](const TruePart& p) {
            return p.kind == kind && now.turns(p.name) &&
                   (f.cause.kind == "slip" ? p.drive == f.cause.part : &p == part);
        });
    };
    if (f.cause.kind == "slip" || f.cause.kind == "pump" || f.cause.kind == "electrical" ||
        f.cause.kind == "bearing") {
        const double more = f.cause.kind == "bearing" ? 1.2 : 2.0;
        if (loads("lock", "steering pump")) s *= more;
        if (loads("ac-on", "compressor")) s *= more;
        if (loads("lamps-on", "alternator")) s *= more;
    }
    if (f.cause.kind == "slip" && has(now, "mist")) s *= 1.3;
    if (now.dead_cylinder == 1 && (f.cause.kind == "knock" || f.variant == "one")) s *= 0.25;
    if (f.cause.kind == "slap" && !now.cold) s *= 0.6;
    return s;
}

std::vector<std::string> silenced_by(const Engine& engine, const Fault& f) {
    // A cover that it touches first: that is the telling pull. Then the part's own, then the belt that turns
    // it.
    const auto pull_of = [&](const std::string& name) -> std::vector<std::string> {
        for (const auto& p : engine.pulls)
            if (std::find(p.off.begin(), p.off.end(), name) != p.off.end()) return {p.name};
        return {};
    };
    for (const auto& name : f.cause.also)
        if (auto pull = pull_of(name); !pull.empty()) return pull;
    if (!f.cause.part) return {};
    if (auto pull = pull_of(*f.cause.part); !pull.empty()) return pull;
    if (const auto* part = engine.part(*f.cause.part))
        if (const auto* drive = friction_drive_of(engine, *part)) return pull_of(drive->name);
    return {};
}

}  // namespace cranknote::simulate
