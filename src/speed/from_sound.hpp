// Crank speed from sound alone, or with a tag as prior.
#pragma once

#include <optional>
#include <span>

#include "speed/speed.hpp"

namespace cranknote {

struct SpeedSettings {
    std::optional<int> cylinders;  ///< absent: not known, every usual count is tried
    int stroke = 4;
    std::optional<SpeedTag> tag;
    Rpm slowest{380}, fastest{7200};
};

/// Reads crank speed from one channel of sound: a whitened comb of the cycle's multiples in the sound and in
/// the envelopes of four bands, followed through time, refined until its lines are sharpest; then every
/// simple multiple is judged by the pattern of its lines. A tag's multiple nearest to it is chosen where the
/// sound allows; where the sound contradicts the tag, the tag stands with a remark and `source` stays
/// `entered`. Silence, noise and anything without a comb give no mean and confidence 0. Method: harmonic comb
/// with Viterbi tracking (Viterbi 1967), choice among multiples by conditional logit (McFadden 1974); both
/// worked out here for engines.
[[nodiscard]] SpeedReading speed_from_sound(std::span<const float> x, SampleRate rate,
                                            const SpeedSettings& settings);

/// A reading that stands on an entered tag alone: constant speed, the tag's own interval.
[[nodiscard]] SpeedReading speed_from_tag(const SpeedTag& tag, Seconds duration);

}  // namespace cranknote
