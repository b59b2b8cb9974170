// Everything that a layout predicts to be heard: the lines of every shaft, drive, bearing and of the engine.
#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <tuple>

#include "layout/bearings.hpp"
#include "layout/kinematics.hpp"
#include "layout/turns.hpp"

namespace cranknote {

namespace {

constexpr int usual_harmonics = 3;

std::string ordinal(int n) {
    const char* ending = n == 2 ? "nd" : n == 3 ? "rd" : "th";
    return std::to_string(n) + ending;
}

/// Collects the lines of one owner.
struct Lines {
    std::vector<PredictedLine>& out;
    std::string owner;
    std::string only_with = {};

    void add(LineKind kind, const std::string& text, const UncertainRatio& ratio, int harmonics) {
        for (int h = 1; h <= harmonics; ++h) {
            const auto full = h == 1 ? text : text + ", " + ordinal(h) + " harmonic";
            out.push_back({owner, full, kind, h, scaled(ratio, h), {}, only_with});
        }
    }
    /// `each` times a whole number from low to high that is not known.
    void add_unknown(LineKind kind, const std::string& text, const UnknownCount& count, int harmonics) {
        auto whole = times(count.each, ratio_between(count.low, count.high));
        add(kind, text, whole, harmonics);
        for (auto line = out.end() - harmonics; line != out.end(); ++line)
            line->count = UnknownCount{count.low, count.high, scaled(count.each, line->harmonic)};
    }
};

/// A count that passes once per turn: typed, or in a usual range where its kind always has one.
struct Passing {
    LineKind kind;
    const char* text;
    std::optional<int> typed;
};

std::vector<Passing> passings_of(const Part& p) {
    return {{LineKind::blade_pass, "blade pass", p.blades},
            {LineKind::vane_pass, "vane pass", p.vanes},
            {LineKind::piston_pass, "piston pass", p.pistons},
            {LineKind::lobe_pass, "lobe pass", p.lobes},
            {LineKind::plunger_pass, "plunger pass", p.plungers}};
}

struct UsualCount {
    PartKind part;
    LineKind kind;
    const char* text;
    int low, high;
};
// Common practice but for the alternator: fans of 8 to 13 blades (J. Vib. Meas. Diagn. 2018).
constexpr std::array usual_counts{
    UsualCount{PartKind::alternator, LineKind::blade_pass, "blade pass", 8, 13},
    UsualCount{PartKind::fan, LineKind::blade_pass, "blade pass", 4, 11},
    UsualCount{PartKind::water_pump, LineKind::vane_pass, "vane pass", 5, 8},
    UsualCount{PartKind::steering_pump, LineKind::vane_pass, "vane pass", 8, 12},
    UsualCount{PartKind::compressor, LineKind::piston_pass, "piston pass", 5, 10},
    UsualCount{PartKind::oil_pump, LineKind::lobe_pass, "lobe pass", 4, 10}};

void add_passings(Lines& lines, const Part& part, const UncertainRatio& shaft) {
    bool any = false;
    for (const auto& pass : passings_of(part)) {
        if (!pass.typed) continue;
        lines.add(pass.kind, pass.text, scaled(shaft, *pass.typed), usual_harmonics);
        any = true;
    }
    const bool bare_rotor = part.kind == PartKind::alternator && part.turns_with_crank;
    if (any || bare_rotor) return;  // a rotor on the crank's end has no fan of its own
    for (const auto& usual : usual_counts)
        if (usual.part == part.kind)
            lines.add_unknown(usual.kind, std::string(usual.text) + ", count not known",
                              {usual.low, usual.high, shaft}, 1);
}

/// Electrical frequency p i; six-pulse rectifier ripple 6 p i, and twice that (memory: automotive handbooks;
/// the 36th rotor order of six pole pairs is the usual whine).
void add_electrical(Lines& lines, const Part& part, const UncertainRatio& rotor) {
    if (part.pole_pairs) {
        lines.add(LineKind::electrical, "pole pairs", scaled(rotor, *part.pole_pairs), 1);
        lines.add(LineKind::ripple, "rectifier ripple", scaled(rotor, 6.0 * *part.pole_pairs), 2);
    } else if (part.kind == PartKind::alternator) {
        const int low = 6, high = part.turns_with_crank ? 9 : 8;  // 6 usual, 8 newer; 9 on motorcycles
        lines.add_unknown(LineKind::electrical, "pole pairs, count not known", {low, high, rotor}, 1);
        lines.add_unknown(LineKind::ripple, "rectifier ripple, count not known",
                          {low, high, scaled(rotor, 6.0)}, 2);
    }
}

/// Idlers and tensioners turn the outer ring, and so does a clutched pulley on its standing nose.
TurningRing turning_ring(const Part& p) {
    const bool carried = p.kind == PartKind::idler || p.kind == PartKind::tensioner;
    return carried || (p.clutch && p.kind == PartKind::compressor) ? TurningRing::outer : TurningRing::inner;
}

void add_known_bearing(Lines& lines, const BearingRatios& r, const UncertainRatio& ring) {
    const auto slipping = widened(ring, bearing_slip);
    lines.add(LineKind::bearing_outer, "bearing, outer ring", scaled(slipping, r.outer), usual_harmonics);
    lines.add(LineKind::bearing_inner, "bearing, inner ring", scaled(slipping, r.inner), usual_harmonics);
    lines.add(LineKind::bearing_cage, "bearing, cage", scaled(slipping, r.cage), 1);
    lines.add(LineKind::bearing_ball, "bearing, ball", scaled(slipping, r.ball), 2);
}

/// A bearing whose number nobody read: seven to nine balls, ball 0.22 to 0.26 of the pitch circle, which is
/// the spread of the 6000, 6200 and 6300 sizes found in pulleys.
void add_usual_bearing(Lines& lines, TurningRing turning, const UncertainRatio& ring) {
    const auto slipping = widened(ring, bearing_slip);
    const auto outer = times(slipping, ratio_between(0.37, 0.39));
    const auto inner = times(slipping, ratio_between(0.61, 0.63));
    lines.add_unknown(LineKind::bearing_outer, "unread bearing, outer ring", {7, 9, outer}, 2);
    lines.add_unknown(LineKind::bearing_inner, "unread bearing, inner ring", {7, 9, inner}, 2);
    lines.add(LineKind::bearing_cage, "unread bearing, cage", turning == TurningRing::inner ? outer : inner,
              1);
    lines.add(LineKind::bearing_ball, "unread bearing, ball", times(slipping, ratio_between(3.6, 4.3)), 1);
}

void add_bearing(Lines& lines, const Part& part, const UncertainRatio& pulley, const UncertainRatio& shaft) {
    const auto turning = turning_ring(part);
    const auto& ring = turning == TurningRing::outer ? pulley : shaft;
    if (part.bearing) {
        add_known_bearing(lines, bearing_ratios(*part.bearing, turning), ring);
        return;
    }
    const bool rolls =
        part.kind == PartKind::idler || part.kind == PartKind::tensioner || part.kind == PartKind::alternator;
    if (rolls && !part.turns_with_crank) add_usual_bearing(lines, turning, ring);
}

void add_part(std::vector<PredictedLine>& out, const Layout& layout, const Part& part) {
    const auto turns = find_turns(layout, part);
    if (!turns) return;
    const auto& pulley = turns->ratio;
    const auto shaft = shaft_behind(part, pulley);
    Lines always{out, part.name};
    Lines engaged{out, part.name, part.clutch ? "ac-on" : ""};
    const bool slips = part.viscous || part.decoupler;
    always.add(LineKind::rotation,
               part.viscous     ? "hub turn"
               : part.decoupler ? "pulley turn"
                                : "turn",
               pulley, usual_harmonics);
    if (slips) engaged.add(LineKind::rotation, "shaft turn", shaft, usual_harmonics);
    add_passings(engaged, part, shaft);
    add_electrical(engaged, part, shaft);
    add_bearing(always, part, pulley, shaft);
}

/// The same two teeth of a gear pair meet again mesh × gcd / (Z1 Z2) times a crank turn (memory: Randall,
/// Vibration-based Condition Monitoring).
void add_tooth_pairs(Lines& lines, const Layout& layout, const Drive& drive, const UncertainRatio& mesh) {
    const auto* driver = layout.part(drive.driver);
    if (drive.kind != DriveKind::gear || !driver || !driver->teeth) return;
    for (const auto& part : layout.parts) {
        if (part.drive != drive.name || !part.teeth) continue;
        const int z1 = *driver->teeth, z2 = *part.teeth;
        const double share = static_cast<double>(std::gcd(z1, z2)) / (static_cast<double>(z1) * z2);
        lines.add(LineKind::belt_tooth_pass, "same teeth of " + part.name + " meet", scaled(mesh, share), 1);
    }
}

void add_drive(std::vector<PredictedLine>& out, const Layout& layout, const Drive& drive) {
    Lines lines{out, drive.name};
    if (const auto mesh = mesh_of(layout, drive)) {
        if (mesh->count)
            lines.add_unknown(LineKind::tooth_mesh, "tooth mesh, teeth not known", *mesh->count,
                              usual_harmonics);
        else
            lines.add(LineKind::tooth_mesh, "tooth mesh", mesh->ratio, usual_harmonics);
        add_tooth_pairs(lines, layout, drive, mesh->ratio);
    }
    const auto loop = loop_turns(layout, drive);
    if (!loop) return;
    const bool chain = drive.kind == DriveKind::chain || drive.kind == DriveKind::silent_chain;
    const std::string text = chain ? "chain pass" : "belt pass";
    const auto begin = out.size();
    lines.add(LineKind::belt_pass, text, loop->ratio, usual_harmonics);
    if (!loop->count) return;
    for (auto i = begin; i < out.size(); ++i)
        out[i].count =
            UnknownCount{loop->count->low, loop->count->high, scaled(loop->count->each, out[i].harmonic)};
}

UncertainRatio exactly(double value) { return {Ratio{value}, 0.0, 0.0}; }

/// How much of the firing falls on each multiple of the cycle, 1 where all cylinders add up.
double firing_share(const std::vector<Degrees>& angles, double cycle, int multiple) {
    double re = 0.0, im = 0.0;
    for (const auto& a : angles) {
        const double phase = 2.0 * std::numbers::pi * multiple * a.value() / cycle;
        re += std::cos(phase);
        im += std::sin(phase);
    }
    return std::hypot(re, im) / static_cast<double>(angles.size());
}

/// Even firing: N/2 a crank turn (two-stroke: N) and multiples. Uneven: those multiples of the cycle on which
/// a good part of it falls (memory: Heywood, Internal Combustion Engine Fundamentals).
void add_firing(Lines& lines, const Engine& e) {
    const double cycle_turns = e.stroke == 4 ? 2.0 : 1.0;
    if (e.firing_deg.empty()) {
        lines.add(LineKind::firing, "firing", exactly(e.cylinders / cycle_turns), usual_harmonics);
        return;
    }
    constexpr double good_part = 0.3;  // a 90° vee six on shared pins has 0.38 on 1.5 a crank turn
    int found = 0;
    for (int m = 1; m <= 4 * e.cylinders && found < 6; ++m) {
        if (firing_share(e.firing_deg, 360.0 * cycle_turns, m) < good_part) continue;
        ++found;
        lines.out.push_back({lines.owner,
                             "firing, " + std::to_string(m) + " a cycle",
                             LineKind::firing,
                             found,
                             exactly(m / cycle_turns),
                             {},
                             {}});
    }
}

void add_engine(std::vector<PredictedLine>& out, const Engine& e) {
    Lines crank{out, "crank"}, valves{out, "valve train"}, injection{out, "injection"},
        ignition{out, "ignition"};
    Lines exhaust{out, "exhaust"}, intake{out, "intake"};
    const double cycle = e.stroke == 4 ? 0.5 : 1.0;
    crank.add(LineKind::crank, "crank turn", exactly(1.0), 2);
    add_firing(exhaust, e);
    add_firing(intake, e);
    exhaust.add(LineKind::cam, "one cylinder", exactly(cycle), usual_harmonics);
    injection.add(LineKind::cam, "one injector", exactly(cycle), usual_harmonics);
    if (e.cylinders > 1) injection.add(LineKind::firing, "all injectors", exactly(cycle * e.cylinders), 2);
    if (e.fuel != Fuel::diesel)
        ignition.add(LineKind::cam, "one cylinder misses", exactly(cycle), usual_harmonics);
    if (e.stroke == 2) return;
    valves.add(LineKind::cam, "one valve", exactly(e.cam_ratio), usual_harmonics);
    if (e.cylinders > 1)
        valves.add(LineKind::cam, "one valve of every cylinder", exactly(e.cam_ratio * e.cylinders), 2);
}

}  // namespace

std::vector<PredictedLine> predicted_lines(const Layout& layout) {
    std::vector<PredictedLine> out;
    for (const auto& part : layout.parts) add_part(out, layout, part);
    for (const auto& drive : layout.drives) add_drive(out, layout, drive);
    add_engine(out, layout.engine);
    // The text of a first harmonic is the beginning of the others', so owner, kind, text, harmonic would mix
    // two lines of one kind: keep the order in which they were added within an owner and kind.
    std::stable_sort(out.begin(), out.end(), [](const PredictedLine& a, const PredictedLine& b) {
        return std::tie(a.owner, a.kind) < std::tie(b.owner, b.kind);
    });
    return out;
}

}  // namespace cranknote
