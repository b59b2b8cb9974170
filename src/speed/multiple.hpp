// Which simple multiple of the course is the engine's cycle: every reading kept, each with its probability.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "speed/coarse.hpp"
#include "speed/evidence.hpp"

namespace cranknote::speed_detail {

/// Averaged lines of one kind of stream, by place in units of the course's cycle.
struct CycleLines {
    double step = 1.0, low = 0.0, high = 0.0;  ///< all per cycle of the course
    double width = 0.02;                       ///< half width of a line
    std::vector<float> y;                      ///< how far each place stands out of its surroundings
};
[[nodiscard]] CycleLines cycle_lines(std::span<const Stream> streams, const Course& course, Hertz top);
inline constexpr Hertz sound_top{800.0}, envelope_top{200.0};

/// What speaks for a hypothesis "the cycle turns `factor` times for each of the course's, with `cylinders`
/// firings". Two kinds of lines (the sound's, the envelopes'), five numbers each (multiple.cpp), then two of
/// the speed itself, and one of how usual the count is, where it is not known.
inline constexpr std::size_t numbers_of_a_kind = 5;
inline constexpr std::size_t feature_count = 2 * numbers_of_a_kind + 3;
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

/// Utilities of a conditional logit (McFadden 1974), fitted by `score_speed fit` on the set `tune`.
struct MultipleModel {
    Features weight;
    double none;         ///< utility of "no engine"
    double temperature;  ///< above 1: less sure, since other recordings differ from simulated ones
};
[[nodiscard]] const MultipleModel& multiple_model();

}  // namespace cranknote::speed_detail
