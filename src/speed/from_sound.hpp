// Crank speed from sound alone, or with a tag as prior.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "speed/speed.hpp"
#include "speed/tag.hpp"

namespace cranknote {

struct SpeedSettings {
    std::optional<int> cylinders;  ///< absent: not known, every usual count is tried
    int stroke = 4;
    std::optional<SpeedTag> tag;
    bool fires_evenly = true;       ///< by design; evenness cannot be told from sound where it does not
    std::vector<int> firing_order;  ///< cylinders by number; empty: not known
    Rpm slowest{380}, fastest{7200};
};

/// Reads crank speed from one channel of sound: a whitened comb of the cycle's multiples in the sound and in
/// the envelopes of four bands, followed through time, refined until its lines are sharpest; then every
/// simple multiple is judged by the pattern of its lines. A tag's multiple nearest to it is chosen where the
/// sound allows: `source` is then `entered`, the numbers stay the sound's (`mean_from`). Where the sound
/// contradicts the tag or cannot be read, the tag's own numbers stand, with a remark. Silence, noise and
/// anything without a comb give no mean and confidence 0. Method: harmonic comb with Viterbi tracking
/// (Viterbi 1967), choice among multiples by conditional logit (McFadden 1974); both worked out here for
/// engines.
[[nodiscard]] SpeedReading speed_from_sound(std::span<const float> x, SampleRate rate,
                                            const SpeedSettings& settings);

}  // namespace cranknote
