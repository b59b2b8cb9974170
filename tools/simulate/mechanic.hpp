// The layout that a mechanic would write of an engine: read off with a tape, a caliper and eyes, not from the
// truth.
#pragma once

#include <string>

#include "simulate/dice.hpp"
#include "simulate/engine.hpp"

namespace cranknote::simulate {

/// How well it was looked at.
struct Habits {
    double unknown_diameter = 0.12;  ///< share of diameters that say "typical" or nothing
    double wrong_count = 0.05;       ///< share of counts (teeth, blades, vanes ...) that are one off
    double missing_count = 0.05;     ///< share that are left out
    double turned_by_hand = 0.12;    ///< share of pulleys whose turns were counted by hand instead
};
[[nodiscard]] Habits careless();  ///< half of everything unknown

/// TOML with the keys of the layout file (schema 1). Names are the truth's.
[[nodiscard]] std::string mechanics_layout(const Engine& engine, const Habits& habits, Dice dice);

}  // namespace cranknote::simulate
