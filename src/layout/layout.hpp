// What turns on this engine, driven by what: the layout file as data. Table of contents of this folder.
//
//   layout.hpp      the data, reading TOML (parse_layout), the typical front end (typical_layout)
//   words.hpp       the file's word for every kind of drive, part, cover ...
//   kinematics.hpp  ratios of shafts and of everything they make heard, with tolerances; what stands still
//                   when something is off
//   diameters.hpp   every kind of measured diameter to a pitch diameter, with its tolerance
//   bearings.hpp    rolling-bearing geometry by printed number, and the ratios of its defects
//   belts.hpp       what the size printed on a belt says
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "units/error.hpp"
#include "units/units.hpp"

namespace cranknote {

enum class Arrangement { inline_, vee, flat };
enum class Fuel { petrol, diesel, gas };
enum class DriveKind { ribbed, vee, flat, toothed, chain, silent_chain, gear };
enum class DiameterKind { outside, effective, pitch };
enum class RunWithout { never, seconds_from_cold, ok };
enum class PartKind {
    crank_pulley,
    crank_sprocket,
    cam_wheel,
    idler,
    tensioner,
    alternator,
    water_pump,
    fan,
    steering_pump,
    compressor,
    oil_pump,
    injection_pump,
    vacuum_pump,
    blower,
    turbo,
    gear,
    sprocket,
    balance_shaft,
    damper,
    clutch,
    flywheel,
    other
};
enum class CoverKind { cover, backplate, shield, guide, bracket };

/// A value that a person may leave out ("not known") or call "typical" (the usual range of its kind).
struct Typical {};
template <class T>
using Known = std::variant<std::monostate, Typical, T>;  ///< not known | typical | known

struct Engine {
    int cylinders = 0;
    Arrangement arrangement = Arrangement::inline_;
    int stroke = 4;
    std::vector<int> firing_order;
    std::vector<Degrees> firing_deg;  ///< empty: fires evenly
    Fuel fuel = Fuel::petrol;
    std::optional<std::pair<Rpm, Rpm>> idle;  ///< low, high; equal where one number was given
    double cam_ratio = 0.5;                   ///< camshaft turns per crank turn
    std::optional<int> valves_per_cylinder;
};

struct BearingGeometry {
    int balls = 0;
    Millimetres ball, pitch_circle;
    Degrees contact{0.0};
};

struct Drive {
    std::string name;
    DriveKind kind = DriveKind::ribbed;
    std::string driver;        ///< the part that drives it
    std::optional<int> teeth;  ///< of the belt, or links of a chain
    std::optional<Millimetres> pitch;
    std::optional<Millimetres> length;
    std::string belt;  ///< as printed, "5PK1025"; length and ribs are taken from it
    std::vector<std::string> route;
    std::optional<RunWithout> run_without;
    int count = 1;  ///< twin belts
    int rows = 1;   ///< double chain
};

struct Part {
    std::string name;
    PartKind kind = PartKind::other;
    bool turns_with_crank = false;
    std::string drive;        ///< the drive that it runs on, or
    std::string on_shaft_of;  ///< the part whose shaft it shares
    std::optional<int> teeth;
    Known<Millimetres> diameter;        ///< across, as measured (a tape round it is divided by pi on reading)
    bool by_tape = false;               ///< measured as circumference
    std::optional<Millimetres> around;  ///< what the tape said, where by_tape
    DiameterKind diameter_kind = DiameterKind::outside;
    std::optional<Millimetres> plus_minus;  ///< what the measure may be off (of the tape, where by_tape)
    std::optional<std::pair<double, double>> turns;  ///< counted by hand: crank turns, turns of it
    std::optional<Ratio> ratio;                      ///< typed: turns per crank turn
    int ratio_decimals = 0;                          ///< digits after the point as typed: how sure it is
    bool back_side = false;
    std::optional<int> blades, vanes, pistons, lobes, plungers, pole_pairs;
    bool decoupler = false, viscous = false, electric = false, clutch = false;
    std::optional<BearingGeometry> bearing;
    std::string bearing_number;
    std::optional<int> bank;
    std::optional<RunWithout> run_without;
    std::optional<std::array<double, 2>> at_mm;  ///< centre seen from the front, x right, y up
};

struct Cover {
    std::string name;
    CoverKind kind = CoverKind::cover;
    std::vector<std::string> can_touch;  ///< parts or drives
};

struct Pull {
    std::string name;
    std::vector<std::string> off;                               ///< drives, parts or covers
    double minutes = 15, refit_minutes = 15, wait_minutes = 0;  ///< by hand, by hand, and curing or cooling
    std::vector<std::string> renew, requires_, cautions;
};

struct Layout {
    int schema = 1;
    std::string name;
    Engine engine;
    std::vector<Drive> drives;
    std::vector<Part> parts;
    std::vector<Cover> covers;
    std::vector<Pull> pulls;
    bool typical = false;  ///< made by typical_layout, nothing was measured; `typical = true` in the file

    [[nodiscard]] const Drive* drive(std::string_view name) const;  ///< nullptr if there is none
    [[nodiscard]] const Part* part(std::string_view name) const;
    [[nodiscard]] const Cover* cover(std::string_view name) const;
    [[nodiscard]] const Pull* pull(std::string_view name) const;
};

/// Names of the engine itself that may stand where a part's name may.
inline constexpr std::array<std::string_view, 7> engine_names{"valve train", "crank",     "intake", "exhaust",
                                                              "ignition",    "injection", "clutch"};

/// Reads and checks a layout. `source` is what errors call it (a file name).
/// Throws Error with "source:line:column", the key, what was expected and the nearest valid name.
[[nodiscard]] Layout parse_layout(std::string_view toml, std::string_view source);

/// The front end most engines of this many cylinders have, every measure "typical". cylinders 1 to 16.
[[nodiscard]] Layout typical_layout(int cylinders);

/// A layout as TOML that parse_layout reads back to the same.
[[nodiscard]] std::string to_toml(const Layout& layout);

/// Every name a person may give to --off or --on: parts, drives, covers, pulls (then the engine names).
[[nodiscard]] std::vector<std::string> names_of(const Layout& layout);

/// The valid name nearest to a mistyped one (edit distance), empty if none is near.
[[nodiscard]] std::string nearest_name(std::string_view typed, const std::vector<std::string>& valid);

}  // namespace cranknote
