// Rolling bearings of every part that runs in one.
#include "diagnose/causes_of.hpp"

namespace cranknote::detail {
namespace {

double how_common(PartKind k) {
    switch (k) {
        case PartKind::idler:
        case PartKind::tensioner:
            return 1.0;
        case PartKind::alternator:
        case PartKind::water_pump:
            return .9;
        case PartKind::steering_pump:
        case PartKind::compressor:
        case PartKind::fan:
            return .6;
        case PartKind::injection_pump:
        case PartKind::vacuum_pump:
        case PartKind::blower:
        case PartKind::turbo:
        case PartKind::balance_shaft:
            return .4;
        default:
            return 0.0;  // plain bearings, or part of something named elsewhere
    }
}

/// The defect lines that the layout predicts: of the bearing's number, or of a usual one.
void add_defects(std::vector<HeardAt>& to, const Workbench& w, const Part& p) {
    const auto add = [&](LineKind kind, const char* what, double share) {
        if (const auto* line = w.fundamental(p.name, kind)) {
            to.push_back(heard(*line, std::string("bearing, ") + what,
                               "the " + p.name + "'s bearing, " + what + ", comes round",
                               mostly_first(share)));
            to.back().count_doubt = 0.0;
        }
    };
    add(LineKind::bearing_outer, "outer ring", .28);
    add(LineKind::bearing_inner, "inner ring", .24);
    add(LineKind::bearing_ball, "ball", .12);
    add(LineKind::bearing_cage, "cage", .06);
}

}  // namespace

void add_bearing(Causes& to, const Workbench& w, const Part& p) {
    const double weight = how_common(p.kind);
    const bool shared = !p.on_shaft_of.empty() && !p.bearing && p.bearing_number.empty();
    if (weight <= 0.0 || shared) return;  // a fan on a pump's shaft runs in the pump's bearing
    Cause c;
    c.text = p.name + " bearing";
    c.kind = CauseKind::bearing;
    c.part = p.name;
    c.weight = weight;
    c.must_turn = {p.name};
    c.character = {.10, .46, .24, .20};
    c.follows = {.35, .35, .30};
    c.beating = .75;
    add_defects(c.beats, w, p);
    add_turns(c.beats, w, p.name, .22);
    c.tones = c.beats;  // early whine sits on the same lines
    c.beat_follows = {.85, .05, .10};
    c.band = Hertz{3000.0};
    c.band_octaves = 1.3;
    if (p.kind == PartKind::alternator) c.answers["lamps-on"] = {.25, .02, .01, .72};
    if (p.kind == PartKind::steering_pump) c.answers["lock"] = {.30, .02, .01, .67};
    c.fix_minutes = 60;
    c.source = "Randall & Antoni 2011, MSSP 25 (from memory): defect lines in the envelope, late a growl";
    to.push_back(c);
}

}  // namespace cranknote::detail
