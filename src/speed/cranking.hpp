// The starter turns the engine and nothing fires.
#pragma once

#include <optional>
#include <utility>

#include "speed/evidence.hpp"
#include "units/units.hpp"

namespace cranknote::speed_detail {

struct Cranking {
    std::pair<Seconds, Seconds> stretch;
    Rpm speed;
};

/// Looks for compression strokes at the speed of a starter, 130 to 330 rpm (common practice: 150 to 300): the
/// whole sound swells with each, so that the envelopes repeat after one. To be asked only where no running
/// engine was found. `cylinders` absent: four are taken, and the speed is a guess.
[[nodiscard]] std::optional<Cranking> cranking_in(const Evidence& e, std::optional<int> cylinders,
                                                  int cycle_turns);

}  // namespace cranknote::speed_detail
