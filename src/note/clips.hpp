// Sound clips for a note: short, faded, level-matched, in a format that every browser plays (MP3).
#pragma once

#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "note/sentences.hpp"
#include "units/units.hpp"

namespace cranknote {

/// A clip ready to be put into a page.
struct Clip {
    std::string title;    ///< "As found"
    std::string caption;  ///< what is to be heard: "the whole sound", "1.90–3.48 kHz alone"
    std::string mime;     ///< "audio/mpeg"
    std::string bytes;    ///< the file
    Seconds length{0.0};
};

/// One side: mono samples, and what the state is called.
struct ClipSide {
    std::span<const float> samples;
    SampleRate rate;
    std::string state;
};

struct ClipSettings {
    Seconds length{5.0};  ///< 3 to 6 s are enough to hear a noise and short enough to be mailed
    Seconds fade{0.08};   ///< at both ends (raised cosine)
};

/// Both sides whole, and each band alone: two clips, and two a band. `offset` is the level of b above a where
/// nothing changed (a comparison's level_offset): it is taken out, and one gain for both sides of a kind
/// brings the louder peak to −3 dB of full scale. A band is cut where it is loudest on its side, the whole
/// where the first band (without one, the whole) is. A side without samples gives no clip. Throws Error when
/// the encoder fails.
[[nodiscard]] std::vector<Clip> clips_of(const ClipSide& a, const ClipSide& b,
                                         const std::vector<std::pair<Hertz, Hertz>>& bands, Decibel offset,
                                         const Sentences& say = {}, const ClipSettings& settings = {});

/// Mono samples (±1) as an MP3 file in memory, at 48 kHz, or at 44.1 kHz where that is the rate.
[[nodiscard]] std::string mp3_of(std::span<const float> samples, SampleRate rate);

/// Fades both ends in place.
void fade_ends(std::span<float> samples, SampleRate rate, Seconds fade);

}  // namespace cranknote
