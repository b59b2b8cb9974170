// What stands still and can be touched: a turning part on it is a rub, a belt on it an edge.
#include "diagnose/causes_of.hpp"

namespace cranknote::detail {
namespace {

Cause touch(const Cover& cover, const std::string& what, CauseKind kind) {
    Cause c;
    c.text = cover.name + " touches the " + what;
    c.kind = kind;
    c.part = what;
    c.also = {cover.name};
    c.must_turn = {what};
    c.must_be_on = {cover.name};
    c.character = {.04, .70, .18, .08};
    c.follows = {.25, .45, .30};
    c.beat_follows = {.90, .03, .07};
    c.beating = .92;
    c.band = Hertz{3500.0};
    c.band_octaves = 1.2;
    c.fix_minutes = 30;
    return c;
}

/// A rub is broadband, gated once per turn of the shaft that rubs, with its 2nd and 3rd harmonic.
Cause rub(const Workbench& w, const Cover& cover, const Part& p) {
    auto c = touch(cover, p.name, CauseKind::rub);
    add_turns(c.beats, w, p.name, .92);
    if (p.viscous) c.beat_follows = {.30, .05, .65};
    c.source = "Ehrich; Muszynska, Rotordynamics (both from memory): gated at one turn of the shaft";
    return c;
}

/// A belt's edge brushes where the belt wanders: once per belt turn, or per turn of the pulley beside.
Cause edge(const Workbench& w, const Cover& cover, const Drive& d) {
    auto c = touch(cover, d.name, CauseKind::edge);
    if (const auto* pass = w.fundamental(d.name, LineKind::belt_pass)) {
        c.beats.push_back(
            heard(*pass, "turns of the " + d.name, "the " + d.name + " goes round", spread_out(.45)));
        c.beats.back().count_doubt = 0.0;
    }
    std::vector<std::string> beside;
    for (const auto& name : cover.can_touch)
        for (const auto& on : d.route)
            if (name == on) beside.push_back(name);
    const auto& pulleys = beside.empty() ? d.route : beside;
    for (const auto& name : pulleys) add_turns(c.beats, w, name, .48 / static_cast<double>(pulleys.size()));
    c.source = "common practice";
    return c;
}

}  // namespace

void add_cover_causes(Causes& to, const Workbench& w) {
    for (const auto& cover : w.layout.covers)
        for (const auto& name : cover.can_touch) {
            if (const auto* p = w.layout.part(name); p && !p->electric) to.push_back(rub(w, cover, *p));
            if (const auto* d = w.layout.drive(name)) to.push_back(edge(w, cover, *d));
        }
}

}  // namespace cranknote::detail
