// Every ratio that follows from a layout, each with the tolerance that its measures leave.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <vector>

#include "layout/layout.hpp"

namespace cranknote {

/// A ratio with its uncertainty: around `value` with relative standard error `relative_error` (0 for a tooth
/// count), and, through friction belts, up to `creep` (relative, 0 to 0.02 a belt) lower.
/// The error is normal in the logarithm, which for a few percent is the same as normal, and which keeps a
/// ratio that is only known as "a usual one" above zero.
struct UncertainRatio {
    Ratio value;
    double relative_error = 0.0;
    double creep = 0.0;
    [[nodiscard]] Ratio low() const;  ///< 95 % limits, creep included
    [[nodiscard]] Ratio high() const;
};

/// A count that nobody typed (teeth, poles, vanes) but which is a whole number in a usual range: the ratio is
/// `each` times one of low, low + 1, ... high, and nothing in between.
struct UnknownCount {
    int low = 0, high = 0;
    UncertainRatio each;
};

/// How a predicted line is heard.
enum class LineKind {
    rotation,  ///< once per turn of a shaft: rub, imbalance
    tooth_mesh,
    belt_pass,        ///< once per turn of the whole belt or chain
    belt_tooth_pass,  ///< the same two teeth of a gear pair, or the same link and tooth, meet again
    blade_pass,
    vane_pass,
    piston_pass,
    lobe_pass,
    plunger_pass,
    electrical,  ///< pole pairs × turns; rectifier ripple is 6 ×
    ripple,
    bearing_outer,
    bearing_inner,
    bearing_cage,
    bearing_ball,
    cam,
    crank,
    firing
};

/// One line that a thing on the engine may make heard, as a tone or as a beat.
struct PredictedLine {
    std::string owner;  ///< part or drive name, or an engine name
    std::string text;   ///< "tooth mesh, 2nd harmonic"
    LineKind kind = LineKind::rotation;
    int harmonic = 1;
    UncertainRatio ratio;               ///< the whole range, where a count is unknown
    std::optional<UnknownCount> count;  ///< the whole numbers it may be, where a count is unknown
    std::string only_with;              ///< the check without which it is silent ("ac-on"); empty: always
};

/// Turns per crank turn of a part (its pulley, where a clutch or viscous hub lies between), if it is driven.
[[nodiscard]] std::optional<UncertainRatio> turns_of(const Layout& layout, const std::string& part);
/// Where turns_of has it from, in a few words: "20 teeth on 40", "counted by hand", "usual range".
[[nodiscard]] std::string turns_source(const Layout& layout, const std::string& part);
/// Turns of a whole belt or chain loop per crank turn, if its length is known or typical.
[[nodiscard]] std::optional<UncertainRatio> turns_of_drive(const Layout& layout, const std::string& drive);
/// Everything that the layout predicts, sorted by owner, then line, then harmonic.
[[nodiscard]] std::vector<PredictedLine> predicted_lines(const Layout& layout);

/// Expands pulls and checks names. Throws Error (wrong call) for an unknown name, with the nearest valid one.
[[nodiscard]] std::set<std::string> expand_off(const Layout& layout, const std::vector<std::string>& off);
/// What stands still (parts and drives) when these things are off, themselves included; not the covers.
/// A drive or part that is off stops everything behind it. Throws as expand_off.
[[nodiscard]] std::set<std::string> still_when_off(const Layout& layout, const std::vector<std::string>& off);

/// Why an engine must not be run with these off, or for how short; empty: no objection.
struct RunLimit {
    RunWithout run = RunWithout::ok;
    std::string why;  ///< one sentence
};
[[nodiscard]] RunLimit run_limit(const Layout& layout, const std::vector<std::string>& off);

/// A drive that turns a cam wheel, an injection pump or the oil pump: never run without it.
[[nodiscard]] bool is_vital_drive(const Layout& layout, const Drive& drive);

}  // namespace cranknote
