// Sound made ready for ears: a band alone, lines alone, slow, in a loop, as loud as its counterpart.
//
// Pure: samples in, samples out, as long as what came in unless said otherwise, with no delay against it.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "signal/recording.hpp"
#include "speed/track.hpp"
#include "units/units.hpp"

namespace cranknote {

/// One channel of a recording, or the mean of all of them for absent `channel`. Empty for no samples.
[[nodiscard]] std::vector<float> mono(const Recording& recording,
                                      std::optional<std::size_t> channel = std::nullopt);

/// x at another rate (either way). Above 0.45 of the lower rate nothing is promised.
[[nodiscard]] std::vector<float> at_rate(std::span<const float> x, SampleRate from, SampleRate to);

/// What lies between two frequencies at its own level, the rest at `rest` (absent: removed, -60 dB or less).
/// Linear-phase filter (windowed sinc, Kaiser 1974: beta and length from attenuation and transition width),
/// delay taken out; -6 dB at the edges. `low` <= 0: from the bottom; `high` >= half the rate: to the top.
/// Throws Error (wrong call) for low >= high or a band outside of what the rate holds.
[[nodiscard]] std::vector<float> band_alone(std::span<const float> x, SampleRate rate, Hertz low, Hertz high,
                                            std::optional<Decibel> rest = std::nullopt);

/// Lines at ratios of the crank speed alone, each `width` wide, wherever the speed takes them; the rest at
/// `rest` (absent: removed). Short-time transform with a real mask: no phase is changed. An empty track gives
/// silence (times `rest`).
[[nodiscard]] std::vector<float> lines_alone(std::span<const float> x, SampleRate rate,
                                             std::span<const Ratio> ratios, const SpeedTrack& track,
                                             Hertz width, std::optional<Decibel> rest = std::nullopt);

/// Half speed, same pitch: twice as long. Waveform-similarity overlap-add (Verhelst & Roelands 1993), with
/// the seams kept off ticks, so that no tick is doubled or lost.
[[nodiscard]] std::vector<float> half_speed(std::span<const float> x, SampleRate rate);

/// First and last (exclusive) sample of the loudest stretch of a length; all of x when it is shorter.
[[nodiscard]] std::pair<std::size_t, std::size_t> loudest(std::span<const float> x, SampleRate rate,
                                                          Seconds length = Seconds{1.0});

/// A stretch of x that can be played round and round: its last 20 ms pass over into what precedes its first.
[[nodiscard]] std::vector<float> seamless(std::span<const float> x, SampleRate rate, std::size_t first,
                                          std::size_t last);

/// Gains that bring two sounds to one level, the louder one down: by the median of 50 ms levels, which a few
/// knocks or words do not move. {0, 0} where one is silent. Where a comparison knows the level offset from
/// what did not change, that is the better one.
[[nodiscard]] std::pair<Decibel, Decibel> level_match(std::span<const float> a, SampleRate rate_a,
                                                      std::span<const float> b, SampleRate rate_b);

}  // namespace cranknote
