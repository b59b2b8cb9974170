// The engine itself, its gearbox end, and what is not the engine at all.
#include "diagnose/causes_of.hpp"

namespace cranknote::detail {
namespace {

Cause engine(const char* text, CauseKind kind, const char* part) {
    Cause c;
    c.text = text;
    c.kind = kind;
    if (part) c.part = part;
    c.answers["shut-off"] = {0.0, .02, .96, .02};
    return c;
}

HeardAt at(const char* line, const char* says, double ratio, std::vector<double> harmonics) {
    return {line, says, exactly(ratio), std::move(harmonics)};
}

double firing_ratio(const Engine& e) { return e.cylinders / (e.stroke == 2 ? 1.0 : 2.0); }

Cause valve(const Engine& e) {
    auto c = engine("a valve ticks (clearance or lifter)", CauseKind::valve, "valve train");
    c.beats = {at("cam", "a camshaft turns", e.cam_ratio, {.62, .20, .06, .04, .02})};
    c.beating = .93;
    c.character = {.02, .10, .84, .04};
    c.follows = {.15, .60, .25};
    c.band = Hertz{4000.0};
    c.band_octaves = 1.1;
    c.answers["warm"] = {.10, .30, .15, .45};
    c.fix_minutes = 90;
    c.source = "a maker's service manual, 1999 (light tapping at half engine speed)";
    return c;
}

Cause knock(const Engine& e) {
    auto c = engine("a big end or main bearing knocks", CauseKind::knock, "crank");
    c.beats = {at("crank", "the crank turns", 1.0, {.45, .10}),
               at("cycle", "one cylinder fires", e.stroke == 2 ? 1.0 : .5, {.32, .03})};
    c.beating = .92;
    c.character = {.02, .10, .84, .04};
    c.follows = {.15, .60, .25};
    c.band = Hertz{800.0};
    c.band_octaves = 1.1;
    c.weight = .7;
    c.answers["cylinder-cut"] = {.02, .45, .35, .18};
    c.answers["run-up"] = {.60, .10, .05, .25};
    c.fix_minutes = 900;
    c.source = "US Army OD1001 (felt each turn; changes when that cylinder's lead is off)";
    return c;
}

Cause slap(const Engine& e) {
    auto c = engine("a piston slaps", CauseKind::slap, "crank");
    c.beats = {at("cycle", "one cylinder fires", e.stroke == 2 ? 1.0 : .5, {.50, .28, .05, .04})};
    c.beating = .9;
    c.character = {.02, .14, .78, .06};
    c.follows = {.15, .60, .25};
    c.band = Hertz{1300.0};
    c.band_octaves = 1.1;
    c.weight = .5;
    c.answers["warm"] = {.02, .53, .20, .25};
    c.answers["cylinder-cut"] = {.05, .45, .20, .30};
    c.fix_minutes = 1200;
    c.source = "a maker's service manual, 1992 (falls as the engine warms)";
    return c;
}

Cause injector(const Engine& e) {
    auto c = engine("an injector ticks", CauseKind::injector, "injection");
    c.beats = {at("cycle", "one injector opens", e.stroke == 2 ? 1.0 : .5, {.48, .12, .04, .03}),
               at("firing", "injectors open in turn", firing_ratio(e), {.22, .04})};
    c.beating = .9;
    c.character = {.02, .06, .88, .04};
    c.follows = {.15, .60, .25};
    c.band = Hertz{5500.0};
    c.band_octaves = 1.0;
    c.weight = .7;
    c.answers["cylinder-cut"] = {.02, .20, .28, .50};
    c.fix_minutes = 60;
    c.source = "common practice";
    return c;
}

Cause exhaust(const Engine& e) {
    auto c = engine("the exhaust leaks", CauseKind::exhaust, "exhaust");
    c.beats = {at("firing", "the engine fires", firing_ratio(e), {.36, .06}),
               at("cycle", "one port blows", e.stroke == 2 ? 1.0 : .5, {.38, .12, .03})};
    c.beating = .9;
    c.character = {.05, .30, .47, .18};
    c.follows = {.35, .40, .25};
    c.band = Hertz{1400.0};
    c.band_octaves = 1.5;
    c.answers["warm"] = {.03, .47, .15, .35};
    c.answers["cylinder-cut"] = {.03, .37, .15, .45};
    c.answers["run-up"] = {.60, .10, .05, .25};
    c.fix_minutes = 120;
    c.source = "common practice (puffs at firing; falls as metal warms)";
    return c;
}

Cause intake() {
    auto c = engine("the intake leaks air", CauseKind::intake, "intake");
    c.beating = .12;
    c.character = {.40, .03, .01, .56};  // a slit whistles, a hole hisses
    c.follows = {.03, .62, .35};
    c.band = Hertz{4000.0};
    c.band_octaves = 1.2;
    c.answers["run-up"] = {.10, .45, .20, .25};
    c.fix_minutes = 45;
    c.source = "common practice (a steady hiss or whistle, often a raised idle)";
    return c;
}

Cause firing(const Engine& e) {
    auto c = engine("a cylinder fires unevenly", CauseKind::firing, "ignition");
    c.tones = {at("half orders", "one cylinder's lines lie", e.stroke == 2 ? 1.0 : .5,
                  {.25, .22, .18, .10, .08, .05})};
    c.beats = {at("cycle", "one cylinder fires", e.stroke == 2 ? 1.0 : .5, {.70, .12, .05})};
    c.beating = .75;
    c.character = {.55, .12, .18, .15};
    c.follows = {.90, .05, .05};
    c.band = Hertz{150.0};
    c.band_octaves = 1.2;
    c.answers["cylinder-cut"] = {.35, .10, .05, .50};
    c.fix_minutes = 60;
    c.source = "computed (Fourier: one weak cylinder brings 0.5, 1, 1.5 ...)";
    return c;
}

Cause clutch_end(const char* text, Answer pedal, double crank_beat) {
    auto c = engine(text, CauseKind::clutch, "clutch");
    c.weight = .35;
    c.beats = {at("crank", "the crank turns", 1.0, {crank_beat, .1})};
    c.beating = .5;
    c.character = {.15, .45, .20, .20};
    c.follows = {.40, .30, .30};
    c.band = Hertz{1500.0};
    c.band_octaves = 1.4;
    c.answers["clutch-down"] = pedal;
    c.fix_minutes = 480;
    c.source = "common practice";
    return c;
}

Cause outside(const char* text, double hertz, double octaves, std::array<double, 4> character) {
    Cause c;
    c.text = text;
    c.kind = CauseKind::outside;
    c.weight = .3;
    c.beating = .05;
    c.character = character;
    c.follows = {.02, .70, .28};
    c.beat_follows = {.05, .65, .30};
    c.band = Hertz{hertz};
    c.band_octaves = octaves;
    c.source = "common practice";
    return c;
}

}  // namespace

void add_engine_causes(Causes& to, const Workbench& w) {
    const auto& e = w.layout.engine;
    if (e.stroke != 2) to.push_back(valve(e));
    to.push_back(knock(e));
    to.push_back(slap(e));
    to.push_back(injector(e));
    to.push_back(exhaust(e));
    to.push_back(intake());
    to.push_back(firing(e));
    auto release = clutch_end("the clutch's release bearing", {.70, .05, .05, .20}, .2);
    release.must_have = "clutch-down";  // it turns free of load with the pedal up (common practice)
    to.push_back(release);
    to.push_back(clutch_end("the gearbox's input shaft bearing", {.01, .20, .75, .04}, .4));
    to.push_back(clutch_end("the flywheel or clutch plate rattles", {.15, .35, .25, .25}, .5));
}

void add_outside_causes(Causes& to, const Workbench&) {
    auto fan = outside("an electric fan", 350.0, 1.3, {.55, .03, .02, .40});
    fan.answers["shut-off"] = {0, .05, .45, .50};
    fan.comes_and_goes = .5;
    auto pump = outside("the fuel pump", 600.0, 1.2, {.80, .03, .02, .15});
    pump.answers["shut-off"] = {0, .02, .95, .03};
    auto mains = outside("mains hum in the room", 100.0, .8, {.97, .01, .01, .01});
    mains.follows = {.02, .95, .03};
    auto room = outside("another noise in the room", 800.0, 2.0, {.30, .10, .15, .45});
    room.comes_and_goes = .4;
    for (const auto& c : {fan, pump, mains, room}) to.push_back(c);
}

}  // namespace cranknote::detail
