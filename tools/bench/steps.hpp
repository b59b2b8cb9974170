// The steps that a recording goes through, with the lengths that the program uses, one function each: timed
// by bench.cpp and by against_scipy, which writes the same steps with NumPy and SciPy.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "signal/envelope.hpp"
#include "signal/spectrum.hpp"
#include "speed/coarse.hpp"
#include "speed/evidence.hpp"
#include "speed/track.hpp"

namespace cranknote::bench {

inline constexpr double rate = 48000.0, low_rate = 12000.0;
inline constexpr std::size_t hz_length = 8192;     // 0.17 s
inline constexpr std::size_t tone_length = 12000;  // 1 s of the lower rate
inline constexpr double per_turn = 1080.0;         // 1.05 * 12000 Hz / the slowest turning, 11.7 a second
inline constexpr double ratio_turns = 32.0;        // crank turns in a block of the ratio spectrum
inline constexpr std::size_t envelope_length = 144, envelope_hop = 43;  // 3 ms, 0.9 ms
inline constexpr double beats_per_turn = 108.0, beat_turns = 64.0;
inline constexpr double lowest_cycle = 3.17, highest_cycle = 60.0;  // Hz: 380 to 7200 rpm, two turns a cycle

/// Eight bands, half octaves to octaves, in lines of 333 Hz.
[[nodiscard]] std::vector<std::pair<double, double>> envelope_bands();

[[nodiscard]] std::vector<float> decode(const std::string& path);
[[nodiscard]] signal::Spectrum hz_spectrum(std::span<const float> x);
[[nodiscard]] std::vector<float> lowered(std::span<const float> x);
[[nodiscard]] signal::Spectrum tone_spectrum(std::span<const float> low);
/// The evidence of speed, and the comb's course through it.
[[nodiscard]] speed_detail::Course comb(std::span<const float> x);
[[nodiscard]] std::vector<float> turned(std::span<const float> low, const SpeedTrack& track);
[[nodiscard]] signal::Spectrum ratio_spectrum(std::span<const float> turned);
[[nodiscard]] signal::BandPowers envelopes(std::span<const float> x);
/// Each envelope's root, against crank angle, averaged over blocks of turns.
[[nodiscard]] std::vector<signal::Spectrum> beat_spectra(const signal::BandPowers& b,
                                                         const SpeedTrack& track);

/// The transforms that these steps need for so many samples: size and how many.
struct Transforms {
    std::size_t size, count;
};
[[nodiscard]] std::vector<Transforms> transforms_needed(std::size_t samples);

}  // namespace cranknote::bench
