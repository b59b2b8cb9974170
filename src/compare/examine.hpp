// One recording made ready for comparing: crank speed, portrait and what is to be known about it.
#pragma once

#include <optional>
#include <span>
#include <string>

#include "compare/comparison.hpp"
#include "portrait/portrait.hpp"
#include "speed/from_sound.hpp"
#include "speed/pickup.hpp"

namespace cranknote {

/// What is known of a recording beside its samples; the reader of the file says it.
struct FileFacts {
    std::string file;                   ///< as it was named
    Seconds duration{0.0};              ///< of the whole file
    Seconds start{0.0};                 ///< where in the file the samples begin
    std::string codec;                  ///< "pcm", "aac", "opus", "amr-nb", ...; empty: not known
    std::optional<double> bit_rate;     ///< bits per second
    std::optional<std::string> damage;  ///< what is wrong with the file
};

struct Examined {
    Portrait portrait;
    RecordingSummary summary;
};

/// What a pickup wrote while the sound was recorded.
struct PickupTrace {
    std::span<const float> x;
    SampleRate rate;
    /// Another channel of the same recorder: as many samples, the same moments. Else a recorder of its own,
    /// which drifts against this one and so serves for the speed only.
    bool same_recorder = true;
    PickupSettings how;
};

/// Speed, portrait and usability of one channel. Never throws for what the sound is like: silence and noise
/// are answers.
[[nodiscard]] Examined examine(std::span<const float> x, SampleRate rate, const FileFacts& facts,
                               const SpeedSettings& settings,
                               const std::optional<PickupTrace>& pickup = std::nullopt);

}  // namespace cranknote
