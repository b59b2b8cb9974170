// All that one recording says. Table of contents of this folder.
//
//   usability.hpp  which stretch and which channel of a recording are used, and what is wrong with it
//   portrait.hpp   its spectra: over Hz, over the ratio to crank, and of its swelling (beats)
//   features.hpp   one number out of a portrait: the level of a band, a tone or a beat
//   finding.hpp    what stands out
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "speed/speed.hpp"
#include "units/units.hpp"

namespace cranknote {

/// The swelling of one wide band: lines of its amplitude's course, relative to its mean.
struct BeatSpectrum {
    Hertz low, high;           ///< the band that swells
    double step = 0.0;         ///< beats per crank turn from line to line (per second in beats_hz)
    double width = 0.0;        ///< resolution, same unit: two beats nearer than this are one
    std::vector<float> power;  ///< mean square of the relative swelling within `width` around each line
    std::vector<float> floor;  ///< what a steady band of that noisiness would show there
    double power_mean = 0.0;   ///< the band's mean square
};

/// Power density over an axis, the same for several equal stretches of time, and the local noise floor.
struct AxisSpectrum {
    double step = 0.0;  ///< Hz, or ratio
    std::vector<float> density;
    double dof = 0.0;                           ///< of one line
    std::vector<std::vector<float>> stretches;  ///< the same over equal stretches of time, for unsteadiness
};

/// Tones over the ratio axis: power within a width that grows with ratio, since a speed track is only so
/// exact.
struct ToneSpectrum {
    double step = 0.0;         ///< ratio from line to line (Hz in tones_hz)
    std::vector<float> power;  ///< mean square within the local width
    std::vector<float> floor;  ///< median of its surroundings: the local noise in the same width
    std::vector<float> width;  ///< the local width
};

struct PortraitSettings {
    double lines_per_turn_block = 32;  ///< turns in a block of the ratio spectrum
    double beat_block_turns = 64;      ///< turns in a block of the beat spectra
};

/// A pure function of samples, speed reading and settings; may be cached by their hash.
struct Portrait {
    SampleRate rate;
    Seconds duration{0.0};
    SpeedReading speed;
    Hertz hz_low{0}, hz_high{0};  ///< what the recording can hold (low cut, codec limit); see usability.hpp
    AxisSpectrum hz;              ///< over Hz
    ToneSpectrum tones_hz;        ///< tones that keep their pitch
    ToneSpectrum tones_ratio;     ///< tones that follow crank speed; empty where speed is not known
    std::vector<BeatSpectrum> beats;     ///< per crank turn; empty where speed is not known
    std::vector<BeatSpectrum> beats_hz;  ///< per second
    std::vector<std::pair<Hertz, Hertz>> series_bands;
    double series_rate = 0.0;                ///< values per second of `series`
    std::vector<std::vector<float>> series;  ///< dB of each band through time, for presence
    double rpm_spread = 0.0;                 ///< rms of the speed about its mean, relative

    [[nodiscard]] bool has_speed() const { return !tones_ratio.power.empty(); }
};

/// One channel of sound to its portrait. `speed` as read from the same samples (its track's times are
/// theirs). Without a mean speed the ratio and beat spectra stay empty. Levels are re full scale.
[[nodiscard]] Portrait portrait_of(std::span<const float> x, SampleRate rate, const SpeedReading& speed,
                                   const PortraitSettings& settings = {});

}  // namespace cranknote
