// What is wrong with a recording, and how far up and down it can be believed.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "portrait/portrait.hpp"
#include "portrait/quality.hpp"

namespace cranknote {

/// How the sound was stored, as far as the file says.
struct Coding {
    std::string codec;               ///< "pcm", "aac", "opus", "amr-nb", ...; empty: not known
    std::optional<double> bit_rate;  ///< bits per second
};

struct Usability {
    std::vector<QualityRemark> remarks;  ///< worst first
    Hertz low{20}, high{0};              ///< what the recording can hold: nothing is said outside
};

/// Looks at samples and portrait for clipping, lack of level or length, speech and wind, gain control, noise
/// suppression, and the limits of phone, codec and messenger. What crank speed says (engine off, stalling,
/// unsteady) is not decided here but in speed/.
[[nodiscard]] Usability usability_of(std::span<const float> x, const Portrait& p, const Coding& coding);

}  // namespace cranknote
