// Engines by seed: front ends as they are found on cars, vans and motorcycles of many years.
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "simulate/dice.hpp"
#include "simulate/engine.hpp"

namespace cranknote::simulate {

namespace {

// Typical diameters, ratios and counts: common practice (trade knowledge, no source).

TrueBearing bearing_of(Dice& dice, bool outer_turns, int choice) {
    // Makers fill the same rings with one ball more or less; the printed number does not say so.
    struct Row {
        const char* number;
        int balls;
        double ball, circle;
    };
    static constexpr std::array rows{Row{"6203", 8, 6.746, 28.499}, Row{"6202", 8, 5.953, 25.0},
                                     Row{"6204", 8, 7.938, 33.5},   Row{"6303", 7, 8.731, 32.0},
                                     Row{"6205", 9, 7.940, 39.04},  Row{"6201", 7, 5.953, 22.0}};
    const auto& row = rows[static_cast<std::size_t>(choice)];
    return {row.number, row.balls, row.ball * dice.uniform(0.995, 1.005), row.circle, outer_turns};
}

/// How far the cord runs outside what a caliper reads, over the whole diameter.
double cord_outside(Dice& dice, std::string_view drive_kind, bool back_side) {
    if (drive_kind == "ribbed") return back_side ? dice.uniform(3.0, 4.0) : dice.uniform(3.5, 4.3);
    if (drive_kind == "vee") return dice.uniform(-4.0, -1.5);
    if (drive_kind == "toothed") return back_side ? dice.uniform(2.5, 3.5) : dice.uniform(5.5, 7.5);
    return dice.uniform(2.0, 3.0);
}

TruePart roller(Dice& dice, std::string name, std::string kind, const TrueDrive& drive, double low,
                double high) {
    TruePart p;
    p.name = std::move(name);
    p.kind = std::move(kind);
    p.drive = drive.name;
    p.outside_mm = std::round(dice.uniform(low, high) * 2.0) / 2.0;
    p.pitch_mm = p.outside_mm + cord_outside(dice, drive.kind, false);
    return p;
}

TruePart idler(Dice& dice, std::string name, std::string kind, const TrueDrive& drive) {
    auto p = roller(dice, std::move(name), std::move(kind), drive, 55.0, 85.0);
    p.back_side = drive.kind == "toothed" || dice.chance(0.6);
    p.pitch_mm = p.outside_mm + cord_outside(dice, drive.kind, p.back_side);
    p.bearing = bearing_of(dice, true, dice.chance(0.6) ? 0 : dice.between(1, 3));
    return p;
}

TruePart on_crank(std::string name, std::string kind) {
    TruePart p;
    p.name = std::move(name);
    p.kind = std::move(kind);
    return p;
}

void place(TruePart& part, double x, double y) {
    part.x_mm = std::round(x);
    part.y_mm = std::round(y);
}

// ---- the block -----------------------------------------------------------------------------------------

void fire_at(Engine& e, std::vector<int> order, std::vector<double> deg) {
    e.firing_order = std::move(order);
    const double cycle = e.cycle_turns() * 360.0;
    const double step = cycle / e.cylinders;
    if (deg.empty())
        for (int i = 0; i < e.cylinders; ++i) deg.push_back(i * step);
    e.firing_deg = std::move(deg);
    e.even_firing = true;
    for (int i = 0; i < e.cylinders; ++i)
        e.even_firing = e.even_firing && std::abs(e.firing_deg[static_cast<std::size_t>(i)] - i * step) < 0.5;
}

void twin_firing(Engine& e, Dice& dice) {
    switch (dice.pick(5)) {
        case 0:
            fire_at(e, {1, 2}, {});
            break;  // parallel, 360° crank
        case 1:
            fire_at(e, {1, 2}, {0, 180});
            break;  // parallel, 180° crank
        case 2:
            fire_at(e, {1, 2}, {0, 270});
            e.arrangement = "vee";
            break;  // 90° vee
        case 3:
            fire_at(e, {1, 2}, {0, 315});
            e.arrangement = "vee";
            break;  // 45° vee
        default:
            fire_at(e, {1, 2}, {});
            e.arrangement = "flat";
            break;
    }
}

void firing(Engine& e, Dice& dice) {
    switch (e.cylinders) {
        case 1:
            fire_at(e, {1}, {});
            break;
        case 2:
            e.stroke == 4 ? twin_firing(e, dice) : fire_at(e, {1, 2}, {});
            break;
        case 3:
            fire_at(e, {1, 3, 2}, {});
            break;
        case 4:
            e.arrangement = dice.chance(0.15) ? "flat" : "inline";
            fire_at(e, e.arrangement == "flat" ? std::vector{1, 3, 2, 4} : std::vector{1, 3, 4, 2}, {});
            break;
        case 5:
            fire_at(e, {1, 2, 4, 5, 3}, {});
            break;
        case 6:
            e.arrangement = dice.chance(0.5) ? "vee" : "inline";
            if (e.arrangement == "vee" && dice.chance(0.3))
                fire_at(e, {1, 6, 5, 4, 3, 2},
                        {0, 90, 240, 330, 480, 570});  // 90° vee on a three-throw crank
            else
                fire_at(
                    e, e.arrangement == "vee" ? std::vector{1, 2, 3, 4, 5, 6} : std::vector{1, 5, 3, 6, 2, 4},
                    {});
            break;
        default:
            e.arrangement = "vee";
            fire_at(e, {1, 8, 4, 3, 6, 5, 7, 2}, {});
    }
}

void block(Engine& e, Dice& dice) {
    e.motorcycle = e.cylinders <= 2 ? dice.chance(0.85) : e.cylinders <= 4 && dice.chance(0.1);
    e.stroke = e.cylinders <= 2 && dice.chance(0.2) ? 2 : 4;
    firing(e, dice);
    if (!e.motorcycle && e.cylinders >= 3 && dice.chance(0.35)) e.fuel = "diesel";
    e.valves_per_cylinder = e.stroke == 2 ? 0 : dice.chance(0.6) ? 2 : 4;
    e.idle_rpm = e.motorcycle         ? dice.uniform(950, 1450)
                 : e.fuel == "diesel" ? dice.uniform(680, 900)
                                      : dice.uniform(620, 980);
    e.idle_rpm = std::round(e.idle_rpm / 10.0) * 10.0;
}

// ---- the cam drive -------------------------------------------------------------------------------------

struct CamDrive {
    TrueDrive drive;
    int crank_teeth = 20;
    std::string crank_wheel = "crank sprocket";
};

void add_wheel(Engine& e, const CamDrive& cam, std::string name, std::string kind, int teeth, double x,
               double y) {
    TruePart p;
    p.name = std::move(name);
    p.kind = std::move(kind);
    p.drive = cam.drive.name;
    p.teeth = teeth;
    place(p, x, y);
    e.parts.push_back(std::move(p));
}

void cam_wheels(Engine& e, Dice& dice, const CamDrive& cam, std::string_view what) {
    const int teeth = 2 * cam.crank_teeth;
    const std::string kind = cam.drive.kind == "gear" ? "gear" : "cam wheel";
    const std::string word(what);
    if (e.arrangement != "inline" && cam.drive.kind == "toothed") {
        add_wheel(e, cam, "left " + word, kind, teeth, -190, 300);
        add_wheel(e, cam, "right " + word, kind, teeth, 190, 300);
        e.parts[e.parts.size() - 2].bank = 1;
        e.parts.back().bank = 2;
    } else if (e.valves_per_cylinder == 4 && cam.drive.kind != "gear" && dice.chance(0.7)) {
        add_wheel(e, cam, "intake " + word, kind, teeth, -75, dice.uniform(340, 400));
        add_wheel(e, cam, "exhaust " + word, kind, teeth, 75, dice.uniform(340, 400));
    } else {
        add_wheel(e, cam, word, kind, teeth, dice.uniform(-30, 30),
                  cam.drive.kind == "gear" ? 120 : dice.uniform(340, 410));
    }
}

/// The order in which a drive runs: round the front by angle.
void route_round(Engine& e, TrueDrive& drive) {
    std::vector<const TruePart*> on{e.part(drive.driver)};
    for (const auto& p : e.parts)
        if (p.drive == drive.name) on.push_back(&p);
    double cx = 0.0, cy = 0.0;
    for (const auto* p : on) {
        cx += p->x_mm / static_cast<double>(on.size());
        cy += p->y_mm / static_cast<double>(on.size());
    }
    const auto angle = [&](const TruePart* p) { return std::atan2(p->y_mm - cy, p->x_mm - cx); };
    std::sort(on.begin(), on.end(), [&](const auto* a, const auto* b) { return angle(a) < angle(b); });
    const auto first = std::find(on.begin(), on.end(), e.part(drive.driver));
    std::rotate(on.begin(), first, on.end());
    drive.route.clear();
    for (const auto* p : on) drive.route.push_back(p->name);
}

/// About how long a loop is that goes round these centres: the polygon and half a turn's worth of arcs.
double loop_length(const Engine& e, const TrueDrive& drive) {
    double length = 0.0;
    for (std::size_t i = 0; i < drive.route.size(); ++i) {
        const auto* a = e.part(drive.route[i]);
        const auto* b = e.part(drive.route[(i + 1) % drive.route.size()]);
        length += std::hypot(a->x_mm - b->x_mm, a->y_mm - b->y_mm);
        const double across = a->teeth > 0 ? a->teeth * drive.pitch_mm / std::numbers::pi : a->pitch_mm;
        length += std::numbers::pi * across / static_cast<double>(drive.route.size());
    }
    return length;
}

void timing_rollers(Engine& e, Dice& dice, const CamDrive& cam) {
    auto tensioner = idler(dice, "timing tensioner", "tensioner", cam.drive);
    place(tensioner, -95, dice.uniform(130, 220));
    e.parts.push_back(tensioner);
    if (dice.chance(0.6)) {
        auto guide = idler(dice, "timing idler", "idler", cam.drive);
        place(guide, 90, dice.uniform(110, 200));
        e.parts.push_back(guide);
    }
    if (e.fuel == "diesel" && dice.chance(0.8)) {
        add_wheel(e, cam, "injection pump", "injection pump", 2 * cam.crank_teeth, 150, 190);
        e.parts.back().plungers = dice.chance(0.5) ? 3 : e.cylinders;
    }
    if (dice.chance(0.5)) {
        add_wheel(e, cam, "water pump", "water pump", dice.between(18, 26), -60, 90);
        e.parts.back().vanes = dice.between(5, 9);
        e.parts.back().bearing = bearing_of(dice, false, dice.between(0, 4));
    }
}

void timing_covers(Engine& e, const CamDrive& cam) {
    std::vector<std::string> up{cam.drive.name}, low{"crank pulley", cam.drive.name};
    for (const auto& p : e.parts)
        if (p.drive == cam.drive.name && p.kind == "cam wheel") up.insert(up.begin(), p.name);
    e.covers.push_back({"upper timing cover", "cover", up});
    e.covers.push_back({"lower timing cover", "cover", low});
}

void toothed_cam_drive(Engine& e, Dice& dice) {
    CamDrive cam;
    cam.crank_teeth = dice.between(18, 24);
    cam.drive = {"timing belt", "toothed", cam.crank_wheel, 0, dice.chance(0.5) ? 9.525 : 8.0, 0.0, "", {},
                 0.0,           0.0};
    e.parts.push_back(on_crank(cam.crank_wheel, "crank sprocket"));
    e.parts.back().teeth = cam.crank_teeth;
    cam_wheels(e, dice, cam, "cam wheel");
    timing_rollers(e, dice, cam);
    route_round(e, cam.drive);
    cam.drive.teeth = static_cast<int>(std::lround(loop_length(e, cam.drive) / cam.drive.pitch_mm));
    cam.drive.length_mm = cam.drive.teeth * cam.drive.pitch_mm;
    e.drives.push_back(cam.drive);
    timing_covers(e, cam);
}

void chain_cam_drive(Engine& e, Dice& dice) {
    CamDrive cam;
    cam.crank_teeth = dice.between(17, 24);
    const bool silent = dice.chance(0.25);
    cam.drive = {e.motorcycle ? "cam chain" : "timing chain",
                 silent ? "silent chain" : "chain",
                 cam.crank_wheel,
                 0,
                 dice.chance(0.5) ? 8.0 : 9.525,
                 0.0,
                 "",
                 {},
                 0.0,
                 0.0};
    e.parts.push_back(on_crank(cam.crank_wheel, "crank sprocket"));
    e.parts.back().teeth = cam.crank_teeth;
    cam_wheels(e, dice, cam, "cam sprocket");
    route_round(e, cam.drive);
    cam.drive.teeth = 2 * static_cast<int>(std::lround(loop_length(e, cam.drive) / cam.drive.pitch_mm / 2.0));
    e.drives.push_back(cam.drive);
    if (!e.motorcycle) e.covers.push_back({"timing cover", "cover", {"crank pulley"}});
}

void gear_cam_drive(Engine& e, Dice& dice) {
    CamDrive cam;
    cam.crank_wheel = "crank gear";
    cam.crank_teeth = dice.between(24, 34);
    cam.drive = {"timing gears", "gear", cam.crank_wheel, 0, 0.0, 0.0, "", {}, 0.0, 0.0};
    e.parts.push_back(on_crank(cam.crank_wheel, "gear"));
    e.parts.back().teeth = cam.crank_teeth;
    cam_wheels(e, dice, cam, "cam gear");
    cam.drive.route = {cam.crank_wheel, e.parts.back().name};
    e.drives.push_back(cam.drive);
    if (!e.motorcycle) e.covers.push_back({"timing cover", "cover", {"crank pulley"}});
}

void cam_drive(Engine& e, Dice& dice) {
    if (e.stroke == 2) return;
    const double what = dice.uniform();
    if (e.motorcycle)
        what < 0.85 ? chain_cam_drive(e, dice) : gear_cam_drive(e, dice);
    else if (what < 0.6)
        toothed_cam_drive(e, dice);
    else
        what < 0.88 || e.arrangement == "flat" ? chain_cam_drive(e, dice) : gear_cam_drive(e, dice);
}

// ---- what the front belts drive ------------------------------------------------------------------------

TrueDrive front_belt(Dice& dice, std::string name, std::string kind) {
    TrueDrive d;
    d.name = std::move(name);
    d.kind = std::move(kind);
    d.driver = "crank pulley";
    d.creep = dice.uniform(0.005, 0.02);
    return d;
}

void add_alternator(Engine& e, Dice& dice, const TrueDrive& d) {
    auto p = roller(dice, "alternator", "alternator", d, 48, 68);
    p.blades = dice.between(9, 14);
    p.pole_pairs = dice.chance(0.75) ? 6 : 8;
    p.bearing = bearing_of(dice, false, dice.chance(0.6) ? 0 : dice.between(1, 3));
    p.decoupler = d.kind == "ribbed" && dice.chance(0.2);
    place(p, dice.uniform(190, 240), dice.uniform(90, 200));
    e.parts.push_back(p);
}

void add_water_pump(Engine& e, Dice& dice, const TrueDrive& d) {
    if (e.part("water pump")) return;
    auto p = roller(dice, "water pump", "water pump", d, 90, 150);
    p.back_side = d.kind == "ribbed" && dice.chance(0.25);
    p.pitch_mm = p.outside_mm + cord_outside(dice, d.kind, p.back_side);
    p.vanes = dice.between(5, 9);
    p.bearing = bearing_of(dice, false, dice.between(0, 4));
    place(p, dice.uniform(-25, 25), dice.uniform(170, 240));
    e.parts.push_back(p);
}

void add_fan(Engine& e, Dice& dice) {
    TruePart fan;
    fan.name = "fan";
    fan.kind = "fan";
    fan.blades = dice.between(4, 9);
    const auto* pump = e.part("water pump");
    if (pump && is_friction(e.drive(pump->drive) ? e.drive(pump->drive)->kind : "") && dice.chance(0.45)) {
        fan.on_shaft_of = "water pump";
        fan.viscous = dice.chance(0.4);
        fan.viscous_slip = fan.viscous ? dice.uniform(0.2, 0.6) : 0.0;
        place(fan, pump->x_mm, pump->y_mm);
    } else {
        fan.name = "electric fan";
        fan.electric = true;
        place(fan, 60, 200);
    }
    e.covers.push_back({"fan shroud", "shield", {fan.name}});
    e.parts.push_back(fan);
}

void add_steering_pump(Engine& e, Dice& dice, const TrueDrive& d) {
    auto p = roller(dice, "steering pump", "steering pump", d, 110, 150);
    p.vanes = dice.between(8, 11);
    p.bearing = bearing_of(dice, false, dice.between(0, 3));
    place(p, dice.uniform(-230, -180), dice.uniform(140, 230));
    e.parts.push_back(p);
}

void add_compressor(Engine& e, Dice& dice, const TrueDrive& d) {
    auto p = roller(dice, "compressor", "compressor", d, 100, 130);
    constexpr std::array counts{5, 6, 7, 7, 10};
    p.pistons = counts[static_cast<std::size_t>(dice.pick(5))];
    p.clutch = true;
    p.bearing = bearing_of(dice, false, dice.between(1, 4));
    place(p, dice.uniform(-230, -180), dice.uniform(-40, 30));
    e.parts.push_back(p);
}

void add_idlers(Engine& e, Dice& dice, const TrueDrive& d) {
    if (d.kind != "ribbed") return;
    auto t = idler(dice, "belt tensioner", "tensioner", d);
    place(t, dice.uniform(90, 130), dice.uniform(20, 70));
    if (!e.part(t.name)) e.parts.push_back(t);
    if (dice.chance(0.5)) {
        auto i = idler(dice, "idler", "idler", d);
        place(i, dice.uniform(-110, -80), dice.uniform(90, 140));
        if (!e.part(i.name)) e.parts.push_back(i);
    }
}

void finish_front_belt(Engine& e, Dice& dice, TrueDrive d) {
    for (auto& p : e.parts)
        if (p.name == d.driver && p.pitch_mm == 0.0)
            p.pitch_mm = p.outside_mm + cord_outside(dice, d.kind, false);
    route_round(e, d);
    const double length = std::round(loop_length(e, d) / 5.0) * 5.0;
    if (d.kind == "ribbed")
        d.printed = std::to_string(dice.between(4, 7)) + "PK" + std::to_string(static_cast<int>(length));
    d.length_mm = length * dice.uniform(0.998, 1.002);
    e.drives.push_back(d);
}

void one_front_belt(Engine& e, Dice& dice) {
    const std::array names{"accessory belt", "alternator belt", "drive belt"};
    auto d = front_belt(dice, names[static_cast<std::size_t>(dice.pick(3))], "ribbed");
    if (dice.chance(0.7)) add_water_pump(e, dice, d);
    add_alternator(e, dice, d);
    if (dice.chance(0.75)) add_steering_pump(e, dice, d);
    if (dice.chance(0.6)) add_compressor(e, dice, d);
    add_idlers(e, dice, d);
    finish_front_belt(e, dice, d);
}

void two_front_belts(Engine& e, Dice& dice) {
    const std::string kind = dice.chance(0.5) ? "vee" : "ribbed";
    auto d = front_belt(dice, kind == "vee" ? "fan belt" : "alternator belt", kind);
    add_water_pump(e, dice, d);
    add_alternator(e, dice, d);
    if (dice.chance(0.4)) add_idlers(e, dice, d);
    finish_front_belt(e, dice, d);
    auto s = front_belt(dice, "steering belt", kind);  // one crank pulley, two grooves of one kind
    add_steering_pump(e, dice, s);
    if (dice.chance(0.4)) add_compressor(e, dice, s);
    finish_front_belt(e, dice, s);
}

void single_front_belt(Engine& e, Dice& dice) {
    auto d = front_belt(dice, "fan belt", dice.chance(0.7) ? "vee" : "ribbed");
    add_water_pump(e, dice, d);
    add_alternator(e, dice, d);
    finish_front_belt(e, dice, d);
}

void crank_end(Engine& e, Dice& dice) {
    auto pulley = on_crank("crank pulley", "crank pulley");
    pulley.outside_mm = std::round(dice.uniform(130, 185));
    e.parts.push_back(pulley);
    if (dice.chance(0.6)) {
        auto pump = on_crank("oil pump", "oil pump");
        pump.lobes = dice.between(4, 10);
        place(pump, 0, 0);
        e.parts.push_back(pump);
    }
}

void car_front(Engine& e, Dice& dice) {
    const double what = dice.uniform();
    if (what < 0.5)
        one_front_belt(e, dice);
    else
        what < 0.8 ? two_front_belts(e, dice) : single_front_belt(e, dice);
    add_fan(e, dice);
    if (e.fuel == "diesel" && dice.chance(0.5)) {
        TruePart pump;
        pump.name = "vacuum pump";
        pump.kind = "vacuum pump";
        pump.on_shaft_of = "alternator";
        pump.vanes = dice.between(3, 5);
        place(pump, 230, 150);
        e.parts.push_back(pump);
    }
    if (dice.chance(0.35)) {
        std::vector<std::string> touched{e.drives.back().name};
        touched.push_back(dice.chance(0.5) ? "alternator" : "crank pulley");
        e.covers.push_back({"belt guard", "shield", touched});
    }
}

void motorcycle_ends(Engine& e, Dice& dice) {
    auto alternator = on_crank("alternator", "alternator");
    alternator.pole_pairs = dice.between(4, 9);
    place(alternator, -120, 0);
    e.parts.push_back(alternator);
    auto pinion = on_crank("primary gear", "gear");
    pinion.teeth = dice.between(19, 33);
    place(pinion, 120, 0);
    e.parts.push_back(pinion);
    TrueDrive primary{"primary drive",
                      "gear",
                      "primary gear",
                      0,
                      0.0,
                      0.0,
                      "",
                      {"primary gear", "clutch basket"},
                      0.0,
                      0.0};
    TruePart basket;
    basket.name = "clutch basket";
    basket.kind = "clutch";
    basket.drive = primary.name;
    basket.teeth = static_cast<int>(std::lround(pinion.teeth * dice.uniform(1.8, 3.1)));
    place(basket, 220, 20);
    e.parts.push_back(basket);
    e.drives.push_back(primary);
    e.covers.push_back({"alternator cover", "cover", {"alternator"}});
    e.covers.push_back({"clutch cover", "cover", {"clutch basket"}});
}

// ---- what a mechanic can take off ----------------------------------------------------------------------

void pulls(Engine& e, Dice& dice) {
    for (const auto& d : e.drives)
        if (is_friction(d.kind)) {
            TruePull p{d.name + " off",
                       {d.name},
                       std::round(dice.uniform(5, 20)),
                       std::round(dice.uniform(5, 20)),
                       {},
                       {}};
            const auto* pump = e.part("water pump");
            if (pump && pump->drive == d.name)
                p.cautions = {"The water pump stands still: seconds from cold, then engine off."};
            e.pulls.push_back(p);
        }
    if (const auto* fan = e.part("fan"); fan && !fan->electric)
        e.pulls.push_back({"fan off", {"fan"}, 10, 10, {}, {}});
    for (const auto& c : e.covers) {
        TruePull p{c.name + " off",
                   {c.name},
                   std::round(dice.uniform(10, 60)),
                   std::round(dice.uniform(10, 70)),
                   {},
                   {}};
        if (c.name == "lower timing cover" || c.name == "timing cover")
            for (const auto& d : e.drives)
                if (is_friction(d.kind)) p.requires_.push_back(d.name + " off");
        e.pulls.push_back(p);
    }
}

std::string describe(const Engine& e) {
    constexpr std::array words{"", "Single", "Twin", "Three", "Four", "Five", "Six", "Seven", "Eight"};
    std::string s = std::string("Invented: ") + words[static_cast<std::size_t>(e.cylinders)] + ", " +
                    e.arrangement + ", " + e.fuel;
    if (e.stroke == 2) s += ", two-stroke";
    return s;
}

}  // namespace

Engine make_engine(std::uint64_t seed, int cylinders) {
    Dice dice = Dice(seed).fork("engine");
    Engine e;
    e.seed = seed;
    // Front ends with belts are what the program is for; the rest is there in smaller number.
    constexpr std::array usual{1, 2, 2, 2, 3, 3, 4, 4, 4, 4, 4, 4, 4, 5, 5, 6, 6, 6, 8, 8};
    e.cylinders = usual[static_cast<std::size_t>(dice.pick(usual.size()))];
    if (cylinders > 0) e.cylinders = cylinders;
    block(e, dice);
    if (!e.motorcycle) crank_end(e, dice);
    cam_drive(e, dice);
    e.motorcycle ? motorcycle_ends(e, dice) : car_front(e, dice);
    pulls(e, dice);
    e.name = describe(e);
    set_turning(e);
    return e;
}

}  // namespace cranknote::simulate
