// What truly turns on an engine, and how fast: the simulator's own turning model.
//
// The kinds are the words of the layout file, so that truth and layout can be laid side by side. Lengths are
// millimetres, angles crank degrees, `turns` are per crank turn without the creep of belts.
#pragma once

#include <cstdint>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace cranknote::simulate {

/// A deep-groove ball bearing as it was made (other makers put in other balls than the tables say).
struct TrueBearing {
    std::string number;  ///< as printed on it
    int balls = 0;
    double ball_mm = 0.0, pitch_circle_mm = 0.0;
    bool outer_turns = false;  ///< idlers and tensioners
};

/// Events per turn of the turning ring.
struct BearingRates {
    double outer = 0.0, inner = 0.0, ball = 0.0, cage = 0.0;
};
/// Randall & Antoni, MSSP 25 (2011); with the outer ring turning the cage goes (1 + d/D)/2.
[[nodiscard]] BearingRates rates_of(const TrueBearing& bearing);

struct TruePart {
    std::string name, kind;
    std::string drive;        ///< the drive it runs on; empty: on the crank or on another's shaft
    std::string on_shaft_of;  ///< the part whose shaft it shares
    double pitch_mm = 0.0;    ///< true pitch diameter on a friction drive
    double outside_mm = 0.0;  ///< what a caliper would read there without error
    int teeth = 0;            ///< on toothed belts, chains and gears
    bool back_side = false;   ///< the belt's back runs on it
    double turns = 0.0;       ///< per crank turn; 0 for what does not turn with the engine
    int blades = 0, vanes = 0, pistons = 0, lobes = 0, plungers = 0, pole_pairs = 0;
    bool viscous = false, electric = false, clutch = false, decoupler = false;
    double viscous_slip = 0.0;  ///< share of its shaft's turns lost
    std::optional<TrueBearing> bearing;
    double x_mm = 0.0, y_mm = 0.0;
    int bank = 0;
};

struct TrueDrive {
    std::string name, kind, driver;
    int teeth = 0;  ///< of a belt, or links of a chain
    double pitch_mm = 0.0;
    double length_mm = 0.0;
    std::string printed;  ///< "5PK1025"
    std::vector<std::string> route;
    double creep = 0.0;  ///< mean share of turns that a friction belt loses
    double turns = 0.0;  ///< of the whole loop, per crank turn; 0 for gears
};

struct TrueCover {
    std::string name, kind;
    std::vector<std::string> can_touch;
};

struct TruePull {
    std::string name;
    std::vector<std::string> off;
    double minutes = 15.0, refit_minutes = 15.0;
    std::vector<std::string> requires_, cautions;
};

struct Engine {
    std::uint64_t seed = 0;
    std::string name;
    int cylinders = 4, stroke = 4;
    std::string arrangement = "inline", fuel = "petrol";
    std::vector<int> firing_order;
    std::vector<double> firing_deg;  ///< when each of the firing order fires
    bool even_firing = true;
    double idle_rpm = 800.0;
    int valves_per_cylinder = 2;
    bool motorcycle = false;
    std::vector<TrueDrive> drives;
    std::vector<TruePart> parts;
    std::vector<TrueCover> covers;
    std::vector<TruePull> pulls;

    /// Crank turns of one whole cycle: 2, or 1 for a two-stroke.
    [[nodiscard]] double cycle_turns() const { return stroke == 4 ? 2.0 : 1.0; }
    [[nodiscard]] const TruePart* part(std::string_view name_) const;
    [[nodiscard]] const TrueDrive* drive(std::string_view name_) const;
    [[nodiscard]] const TrueCover* cover(std::string_view name_) const;
    [[nodiscard]] const TruePull* pull(std::string_view name_) const;
};

/// An engine by seed. `cylinders` 0: any; otherwise 1 to 6 or 8.
[[nodiscard]] Engine make_engine(std::uint64_t seed, int cylinders = 0);

/// Works out every part's and drive's turns from teeth and pitch diameters. For engines made by hand.
void set_turning(Engine& engine);

/// Everything that is off when these names are (pulls stand for their lists), itself included.
[[nodiscard]] std::set<std::string> off_set(const Engine& engine, const std::vector<std::string>& off);
/// Parts and drives that stand still with these names off, whether they came off or lost their drive.
[[nodiscard]] std::set<std::string> still_set(const Engine& engine, const std::vector<std::string>& off);
/// The friction drive that turns a part, through however many shafts; nullptr where it is locked to the
/// crank.
[[nodiscard]] const TrueDrive* friction_drive_of(const Engine& engine, const TruePart& part);
[[nodiscard]] bool is_friction(std::string_view drive_kind);

}  // namespace cranknote::simulate
