// Crank speed and angle from a pickup channel: an inductive clamp on a plug lead, or an isolated and
// attenuated lead. A coil's own lead carries hundreds of volts and never goes into a sound card.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "speed/speed.hpp"

namespace cranknote {

struct PickupSettings {
    /// 0.5: a plug of a four-stroke; 1: a wasted spark or a crank mark; cylinders / 2: a coil that serves
    /// all. Absent: inferred.
    std::optional<double> pulses_per_turn;
    std::optional<Rpm> about;  ///< from sound or a gauge; settles how many pulses there are to a turn
    int cylinders = 4;
    int stroke = 4;
    std::optional<int> cylinder;  ///< whose lead the clamp is on, by its number
};

/// Pulses found on a channel, once ringing, doubles and gaps are dealt with.
struct Pulses {
    std::vector<Seconds> at;   ///< rising; from the channel's first sample
    std::vector<long> number;  ///< of each, from 0; a missed one leaves a number out
    bool negative = false;     ///< they go down first
    std::size_t doubled = 0;   ///< left out: too soon after another
    std::size_t missed = 0;    ///< not there, counted all the same
};

/// Finds pulses by the polarity that goes further, each timed where it passes half its own height (between
/// samples), so that a stronger one is not earlier. What comes sooner than 0.6 of the period around it is
/// ringing or a double; a gap of two or more periods holds missed ones. Fewer than six: empty.
[[nodiscard]] Pulses pulses_in(std::span<const float> x, SampleRate rate);

struct PickupReading {
    SpeedReading speed;  ///< source `pickup`; without a mean if there are no pulses
    Pulses pulses;
    double pulses_per_turn = 0.5;
    bool inferred = false;  ///< how many to a turn; then `speed` has alternatives

    /// Crank turns since pulse 0, straight between pulses and on beyond the ends.
    [[nodiscard]] double turns_at(Seconds t) const;
    /// Position in the cycle, 0 to 720 (or 360), 0 at a pulse. With one pulse a turn of a four-stroke it may
    /// be 360 off.
    [[nodiscard]] Degrees position_at(Seconds t) const;
    int cycle_turns = 2;
};

/// Speed between each pulse and the next. Interval of the mean: from the pulses' own scatter around even
/// turning over a few, at least a sample's time at both ends.
[[nodiscard]] PickupReading speed_from_pickup(std::span<const float> x, SampleRate rate,
                                              const PickupSettings& settings);

/// How loud the sound is at each place of the cycle, averaged over the cycles.
struct CycleAverage {
    std::vector<double> level;    ///< mean amplitude at `points` even places of the cycle, from a pulse on
    std::vector<double> scatter;  ///< standard error of each
    std::size_t cycles = 0;
};
/// The sound above 500 Hz or so, rectified, against the pickup's angle. Empty if there are no two cycles.
[[nodiscard]] CycleAverage cycle_average(std::span<const float> sound, SampleRate rate,
                                         const PickupReading& pickup, std::size_t points = 1440);

/// By how much later b's events come than a's, in crank degrees: where their cross-correlation is greatest,
/// within ±60; positive is later. The two must have equally many places and the microphone untouched
/// between, since a metre of way is 3 ms. Absent if one is empty.
[[nodiscard]] std::optional<Degrees> event_shift(const CycleAverage& a, const CycleAverage& b,
                                                 int cycle_turns = 2);

}  // namespace cranknote
