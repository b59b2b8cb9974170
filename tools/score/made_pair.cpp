#include "score/made_pair.hpp"

#include <fstream>

#include "compare/compare.hpp"
#include "job/examine_file.hpp"
#include "layout/kinematics.hpp"
#include "note/names.hpp"
#include "units/error.hpp"

namespace cranknote::score {

namespace {

Layout layout_for(const TrueCase& c, const std::string& which) {
    if (which == "cylinders") return typical_layout(c.cylinders);
    const auto path = c.folder + "/" + which;
    std::ifstream in(path);
    const std::string text((std::istreambuf_iterator<char>(in)), {});
    return parse_layout(text, path);
}

bool knows(const Layout& layout, const std::string& name) {
    try {
        return static_cast<void>(still_when_off(layout, {name})), true;
    } catch (const Error&) {
        return false;
    }
}

State state_of(const Layout& layout, const TrueTake& t) {
    State s;
    s.name = t.state;
    for (const auto& name : t.off)  // a typical layout does not know the pulls of this engine
        if (knows(layout, name)) s.off.push_back(name);
    s.with = t.with, s.repaired = t.repaired, s.cold = t.cold;
    for (const auto& name : still_when_off(layout, s.off)) s.still.push_back(name);
    return s;
}

}  // namespace

bool same_cause(const Suspect& s, const TrueCause& c) {
    if (name_of(s.kind) != c.kind) return false;
    if (c.kind == "outside") return true;
    return s.part == c.part && (c.also.empty() || s.also == c.also);
}

MadePair made_pair(const TrueCase& truth, const std::string& which, bool true_speed) {
    MadePair p{truth, layout_for(truth, which), {}, {}, {}, {}};
    std::vector<Take> side[2];
    for (const auto& t : truth.takes) {
        SpeedSettings s;
        s.cylinders = p.layout.engine.cylinders, s.stroke = p.layout.engine.stroke;
        if (true_speed && t.rpm) s.tag = SpeedTag{Rpm{*t.rpm}, Rpm{5}};
        p.examined.push_back(std::make_unique<Examined>(examine_file(t.path, {}, s)));
        side[t.side == 'a' ? 0 : 1].push_back({&p.examined.back()->portrait, p.examined.back()->summary});
        (t.side == 'a' ? p.a : p.b) = state_of(p.layout, t);
    }
    CompareSettings how;
    how.same_placement = truth.same_placement, how.cylinders = p.layout.engine.cylinders;
    p.comparison = compare(side[0], side[1], how);
    return p;
}

}  // namespace cranknote::score
