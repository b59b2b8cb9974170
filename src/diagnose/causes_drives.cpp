// Belts, chains and gear pairs.
#include "diagnose/causes_of.hpp"

namespace cranknote::detail {
namespace {

bool by_friction(const Drive& d) {
    return d.kind == DriveKind::ribbed || d.kind == DriveKind::vee || d.kind == DriveKind::flat;
}

/// A belt's swelling comes once per turn of the belt, or of one of its pulleys.
std::vector<HeardAt> belt_beats(const Workbench& w, const Drive& d, double belt_share, double pulley_share) {
    std::vector<HeardAt> beats;
    if (const auto* pass = w.fundamental(d.name, LineKind::belt_pass)) {
        beats.push_back(
            heard(*pass, "turns of the " + d.name, "the " + d.name + " goes round", spread_out(belt_share)));
        beats.back().count_doubt = 0.0;
    }
    const double each = d.route.empty() ? 0.0 : pulley_share / static_cast<double>(d.route.size());
    for (const auto& name : d.route) add_turns(beats, w, name, each);
    return beats;
}

/// The loads that a drive carries answer for it: electrics, steering, air conditioning.
void add_load_answers(Cause& c, const Layout& layout, const std::string& drive, Answer loaded) {
    for (const auto& p : layout.parts) {
        if (p.drive != drive) continue;
        if (p.kind == PartKind::alternator) c.answers["lamps-on"] = loaded;
        if (p.kind == PartKind::steering_pump) c.answers["lock"] = loaded;
        if (p.kind == PartKind::compressor) c.answers["ac-on"] = loaded;
    }
}

Cause slip(const Workbench& w, const Drive& d) {
    Cause c;
    c.text = d.name + " slips";
    c.kind = CauseKind::slip;
    c.part = d.name;
    c.must_turn = {d.name};
    c.character = {.52, .16, .02, .30};
    c.follows = {.08, .50, .42};  // pitch is a structure's own, not a multiple of crank speed
    c.beating = .25;
    c.beats = belt_beats(w, d, .12, .45);
    c.band = Hertz{2200.0};
    c.band_octaves = 1.1;
    c.comes_and_goes = .35;
    add_load_answers(c, w.layout, d.name, {.75, .05, .02, .18});
    c.answers["mist"] = {.45, .10, .05, .40};
    c.answers["run-up"] = {.55, .15, .10, .20};
    c.fix_minutes = 20;
    c.source =
        "Dalzin et al. 2016, J. Sound Vib. 372 (squeal keeps a structure's pitch); a belt maker's note on "
        "noise (water raises it or leaves it); a maker's service manual, 1998 (load brings it)";
    return c;
}

Cause misalignment(const Workbench& w, const Drive& d) {
    Cause c;
    c.text = d.name + " runs out of line";
    c.kind = CauseKind::misalignment;
    c.part = d.name;
    c.must_turn = {d.name};
    c.character = {.35, .20, .43, .02};  // a chirp: a short tone, over and over
    c.follows = {.2, .5, .3};
    c.beating = .92;
    c.beats = belt_beats(w, d, .62, .30);
    c.band = Hertz{4000.0};
    c.band_octaves = 1.0;
    c.comes_and_goes = .35;
    c.answers["mist"] = {.05, .25, .60, .10};
    c.answers["run-up"] = {.10, .45, .15, .30};
    c.answers["warm"] = {.05, .35, .10, .50};
    c.fix_minutes = 45;
    c.source =
        "a maker's service manual, 1998 (chirp once per belt or pulley turn, at idle, cold and damp, water "
        "stops it a while); SAE 1999-01-1709 (0.33 degrees at a grooved pulley)";
    return c;
}

Cause flange_edge(const Workbench& w, const Drive& d) {
    Cause c;
    c.text = d.name + " edge frays on a pulley's flange";
    c.kind = CauseKind::edge;
    c.part = d.name;
    c.weight = .35;
    c.must_turn = {d.name};
    c.character = {.03, .62, .27, .08};
    c.follows = {.3, .4, .3};
    c.beating = .85;
    c.beats = belt_beats(w, d, .55, .35);
    c.band = Hertz{4000.0};
    c.band_octaves = 1.1;
    c.fix_minutes = 45;
    c.source = "common practice";
    return c;
}

Cause toothed_mesh(const Workbench& w, const Drive& d, const PredictedLine* mesh, const std::string& what) {
    Cause c;
    c.text = d.name + " whines in mesh";
    c.kind = CauseKind::mesh;
    c.part = d.name;
    c.must_turn = {d.name};
    if (mesh)
        c.tones = {heard(*mesh, "tooth mesh", "the " + d.name + "'s " + what + " mesh", spread_out(.93))};
    c.character = {.92, .03, .02, .03};
    c.follows = {.95, .03, .02};
    c.beating = .15;
    c.beats = belt_beats(w, d, .2, .6);
    c.band = Hertz{600.0};
    c.band_octaves = 1.3;
    c.fix_minutes = 90;
    c.source =
        "computed (driver's turns times its teeth); SAE 2019-01-0783 (whine where mesh meets a span's "
        "resonance, set by tension)";
    return c;
}

Cause chain_rattle(const Workbench& w, const Drive& d) {
    Cause c;
    c.text = d.name + " rattles (slack or worn guide)";
    c.kind = CauseKind::chain;
    c.part = d.name;
    c.must_turn = {d.name};
    c.character = {.02, .38, .45, .15};
    c.follows = {.3, .4, .3};
    c.beating = .75;
    c.beats = belt_beats(w, d, .15, .10);
    const auto& e = w.layout.engine;
    c.beats.push_back({"cam torque", "the camshaft turns", exactly(e.cam_ratio), spread_out(.2)});
    const double firing = e.cylinders / (e.stroke == 2 ? 1.0 : 2.0);
    c.beats.push_back(
        {"firing", "its slack strand slaps as the engine fires", exactly(firing), spread_out(.4)});
    c.band = Hertz{2500.0};
    c.band_octaves = 1.2;
    c.answers["warm"] = {.10, .25, .15, .50};
    c.fix_minutes = 300;
    c.source = "common practice (loudest on starting, before oil pressure tightens it)";
    return c;
}

Cause gear_whine(const Workbench& w, const Drive& d, const PredictedLine* mesh) {
    Cause c;
    c.text = d.name + " gears whine";
    c.kind = CauseKind::gear;
    c.part = d.name;
    c.must_turn = {d.name};
    if (mesh) c.tones = {heard(*mesh, "tooth mesh", "the " + d.name + "'s teeth mesh", spread_out(.93))};
    c.character = {.85, .06, .06, .03};
    c.follows = {.95, .03, .02};
    c.beating = .3;
    c.beats = belt_beats(w, d, 0, .8);
    c.band = Hertz{900.0};
    c.band_octaves = 1.3;
    c.fix_minutes = 300;
    c.source = "computed (turns times teeth); Randall, Vibration-based Condition Monitoring (from memory)";
    return c;
}

}  // namespace

void add_drive_causes(Causes& to, const Workbench& w) {
    for (const auto& d : w.layout.drives) {
        const auto* mesh = w.fundamental(d.name, LineKind::tooth_mesh);
        if (by_friction(d)) {
            to.push_back(slip(w, d));
            to.push_back(misalignment(w, d));
            to.push_back(flange_edge(w, d));
        } else if (d.kind == DriveKind::gear) {
            to.push_back(gear_whine(w, d, mesh));
        } else if (d.kind == DriveKind::toothed) {
            to.push_back(toothed_mesh(w, d, mesh, "teeth"));
        } else {
            to.push_back(chain_rattle(w, d));
            to.push_back(toothed_mesh(w, d, mesh, "links"));
        }
    }
}

}  // namespace cranknote::detail
