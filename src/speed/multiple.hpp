// Which simple multiple of the course is the engine's cycle: every reading kept, each with its probability.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

#include "speed/coarse.hpp"
#include "speed/evidence.hpp"

namespace cranknote::speed_detail {

/// What speaks for a hypothesis "the cycle turns `factor` times for each of the course's, with `cylinders`
/// firings". Two kinds of lines (the sound's, the envelopes'), four numbers each, then two of the speed
/// itself.
inline constexpr std::size_t feature_count = 11;
using Features = std::array<double, feature_count>;

struct Hypothesis {
    double factor = 1.0;
    int cylinders = 4;
    Hertz cycle{0};
    Features features{};
    double probability = 0.0;
};

struct Multiples {
    std::vector<Hypothesis> hypotheses;  ///< most probable first; probabilities sum to 1 - none
    double none = 0.0;                   ///< probability that no engine's comb is in this sound
};

/// cylinders: absent if not known. cycle_turns: crank turns a cycle, 2 (four-stroke) or 1.
[[nodiscard]] Multiples multiples_of(const Evidence& e, const Course& course, std::optional<int> cylinders,
                                     int cycle_turns, Rpm slowest, Rpm fastest);

/// Utilities of a conditional logit (McFadden 1974). Guessed by hand, NOT fitted yet: they are to be fitted
/// on the `tune` set. Until then a confidence is an order, not a probability.
struct MultipleModel {
    Features weight;
    double none;         ///< utility of "no engine"
    double temperature;  ///< above 1: less sure, since other recordings differ from simulated ones
};
[[nodiscard]] const MultipleModel& multiple_model();

}  // namespace cranknote::speed_detail
