// What the program `score_speed` can do: one file each.
#pragma once

#include <CLI/CLI.hpp>

namespace cranknote::score {

/// `score_speed measure`: how well crank speed is read.
void add_speed(CLI::App& app);
/// `score_speed fit`: the weights by which speed chooses among multiples, from the set `tune`.
void add_speed_fit(CLI::App& app);

/// `score_speed together`: how recordings of one engine help each other.
void add_speed_together(CLI::App& app);
/// `score_speed steady`: hunting and evenness.
void add_speed_steady(CLI::App& app);

}  // namespace cranknote::score
