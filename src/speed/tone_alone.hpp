// A sound that is one even tone and nothing else.
#pragma once

#include <span>

namespace cranknote::speed_detail {

/// Whether two samples foretell the next to -70 dB, as they do of one sinusoid only. Of such a file nothing
/// else is left but its rounding, which repeats and so looks like an engine's lines. A microphone's own noise
/// alone is far above this. False for silence and fewer than eight samples.
[[nodiscard]] bool tone_alone(std::span<const float> x);

}  // namespace cranknote::speed_detail
