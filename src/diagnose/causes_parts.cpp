// Parts that turn: what each of them may do wrong beside its bearing.
#include "diagnose/causes_of.hpp"

namespace cranknote::detail {
namespace {

Cause of_part(const Part& p, CauseKind kind, std::string text) {
    Cause c;
    c.text = std::move(text);
    c.kind = kind;
    c.part = p.name;
    c.must_turn = {p.name};
    return c;
}

/// The line that a pumping part makes: vanes, pistons, lobes, plungers, whichever it has.
std::optional<HeardAt> pumping_line(const Workbench& w, const Part& p) {
    constexpr struct {
        LineKind kind;
        const char* name;
        const char* says;
    } ways[] = {{LineKind::vane_pass, "vane pass", "vanes pass"},
                {LineKind::piston_pass, "piston pass", "pistons pump"},
                {LineKind::lobe_pass, "lobe pass", "lobes pass"},
                {LineKind::plunger_pass, "plunger pass", "plungers pump"}};
    for (const auto& way : ways)
        if (const auto* at = w.fundamental(p.name, way.kind))
            return heard(*at, way.name, "the " + p.name + "'s " + way.says, spread_out(.92));
    return std::nullopt;
}

bool pumps(PartKind k) {
    switch (k) {
        case PartKind::water_pump:
        case PartKind::steering_pump:
        case PartKind::compressor:
        case PartKind::oil_pump:
        case PartKind::injection_pump:
        case PartKind::vacuum_pump:
        case PartKind::blower:
        case PartKind::turbo:
            return true;
        default:
            return false;
    }
}

Cause pump(const Workbench& w, const Part& p) {
    auto c = of_part(p, CauseKind::pump, p.name + " whines as it pumps");
    if (const auto line = pumping_line(w, p)) c.tones = {*line};
    // It whines, or it draws air and hisses in the same rhythm (common practice).
    c.character = {.58, .16, .08, .18};
    c.follows = {.90, .05, .05};
    c.beating = .40;
    if (const auto line = pumping_line(w, p)) {
        c.beats = {*line};
        c.beats.front().harmonics = spread_out(.55);
    }
    add_turns(c.beats, w, p.name, .3);
    c.band = Hertz{900.0};
    c.band_octaves = 1.6;
    c.fix_minutes = 90;
    c.source = "computed (vanes, pistons or lobes times its turns)";
    if (p.kind == PartKind::steering_pump) c.answers["lock"] = {.82, .02, .01, .15};
    if (p.kind == PartKind::compressor) {
        if (p.clutch) c.must_have = "ac-on";
        c.answers["ac-on"] = {.80, .05, .02, .13};
        c.source += "; a maker's workshop manual (stops with the clutch off)";
    }
    return c;
}

Cause electrical(const Workbench& w, const Part& p) {
    auto c = of_part(p, CauseKind::electrical, p.name + " whines electrically (winding or diode)");
    if (const auto* at = w.fundamental(p.name, LineKind::ripple))
        c.tones.push_back(heard(*at, "ripple", "the " + p.name + "'s rectifier ripples", {.50, .12}));
    if (const auto* at = w.fundamental(p.name, LineKind::electrical))
        c.tones.push_back(
            heard(*at, "pole pairs", "the " + p.name + "'s pole pairs pass", {.14, .08, .05, .03, .02}));
    c.character = {.92, .03, .01, .04};
    c.follows = {.93, .04, .03};
    c.beating = .12;
    add_turns(c.beats, w, p.name, .7);
    c.band = Hertz{1300.0};
    c.band_octaves = 1.2;
    c.answers["lamps-on"] = {.72, .04, .02, .22};
    c.fix_minutes = 60;
    c.source = "36th order of the rotor with 6 pole pairs; J. Vib. Meas. Diagn. 2018 (orders 6k dominate)";
    return c;
}

Cause blades(const Workbench& w, const Part& p) {
    const bool fan = p.kind == PartKind::fan;
    auto c = of_part(p, CauseKind::blade, p.name + (fan ? " blades beat the air" : " fan blades sing"));
    c.weight = fan ? 1.0 : .4;
    if (const auto* at = w.fundamental(p.name, LineKind::blade_pass))
        c.tones = {heard(*at, "blade pass", "the " + p.name + "'s blades pass", spread_out(.85))};
    c.character = {.50, .25, .06, .19};
    c.follows = p.viscous ? std::array<double, 3>{.25, .10, .65} : std::array<double, 3>{.90, .05, .05};
    c.beating = .5;  // one bent blade whoops once a turn
    add_turns(c.beats, w, p.name, .8);
    c.band = fan ? Hertz{300.0} : Hertz{1500.0};
    c.band_octaves = 1.5;
    c.fix_minutes = 30;
    c.source = "computed (blades times its turns); common practice (a viscous hub slips behind its shaft)";
    return c;
}

Cause rattle(const Workbench& w, const Part& p, const char* what, double weight) {
    auto c = of_part(p, CauseKind::rattle, p.name + what);
    c.weight = weight;
    c.character = {.02, .30, .56, .12};
    c.follows = {.25, .45, .30};
    c.beating = .78;
    add_turns(c.beats, w, p.name, .35);
    const double firing = w.layout.engine.cylinders / (w.layout.engine.stroke == 2 ? 1.0 : 2.0);
    c.beats.push_back({"firing", "the engine fires", exactly(firing), mostly_first(.25)});
    c.beats.push_back({"cycle", "the engine's cycle comes round", exactly(.5), spread_out(.2)});
    c.band = Hertz{2000.0};
    c.band_octaves = 1.2;
    c.comes_and_goes = .35;
    c.fix_minutes = 60;
    c.source = "common practice (the belt's tension pulses with firing; a loose damper knocks once a turn)";
    return c;
}

}  // namespace

void add_part_causes(Causes& to, const Workbench& w) {
    for (const auto& p : w.layout.parts) {
        if (p.electric) continue;  // not driven: stands among the outside causes
        add_bearing(to, w, p);
        if (pumps(p.kind)) to.push_back(pump(w, p));
        if (p.kind == PartKind::alternator) to.push_back(electrical(w, p));
        if (p.kind == PartKind::fan || p.blades) to.push_back(blades(w, p));
        if (p.kind == PartKind::tensioner) to.push_back(rattle(w, p, " rattles on its stop", 1.0));
        if (p.kind == PartKind::damper || p.kind == PartKind::crank_pulley)
            to.push_back(rattle(w, p, " is loose or its rubber is torn", .8));
        if (p.decoupler) to.push_back(rattle(w, p, "'s free-wheeling pulley rattles", .6));
    }
}

}  // namespace cranknote::detail
