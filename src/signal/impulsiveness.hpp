// How much a sound knocks: statistics that a steady hiss leaves at a known value and a tick raises.
// What is called a tick, a scrape or a hiss is decided by portrait, from these and from the envelope's lines.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "units/units.hpp"

namespace cranknote::signal {

/// m4 / m2^2 about the mean: square wave 1, sine 1.5, Gaussian 3, Laplace 6; ticks go beyond 10.
/// NaN for fewer than two samples or a constant.
[[nodiscard]] double kurtosis(std::span<const float> x);

/// Standard deviation of the kurtosis of n independent Gaussian samples about its mean, 3 (n - 1)/(n + 1):
/// sqrt(24 n (n-2)(n-3) / ((n+1)^2 (n+3)(n+5))), close to sqrt(24 / n). Fisher 1930, Proc. R. Soc. A 130.
/// n > 3, else NaN. Band-limited sound has fewer independent samples than samples.
[[nodiscard]] double kurtosis_deviation(double n);

/// Largest magnitude over root mean square (about zero), as an amplitude ratio: sine 1.414. NaN for silence.
[[nodiscard]] double crest_factor(std::span<const float> x);

/// Spectral kurtosis of each line over the rows of a spectrogram (`rows` x `lines`, powers, row by row):
/// K/(K-1) [(K+1) sum P^2 / (sum P)^2 - 2]. 0 for a stationary Gaussian line, -1 for a stationary tone,
/// positive where transients live. Exactly unbiased for independent rows of Gaussian noise (Vrabie, Granjon &
/// Serviere 2003); definition by Antoni 2006, Mech. Syst. Signal Process. 20(2). NaN for fewer than two rows
/// or a silent line. Not meaningful at 0 Hz and at the Nyquist frequency, whose lines are real.
[[nodiscard]] std::vector<double> spectral_kurtosis(std::span<const float> powers, std::size_t rows,
                                                    std::size_t lines);

/// Its standard deviation for stationary Gaussian noise and K independent rows: 2 K / sqrt((K-1)(K+2)(K+3)),
/// close to 2/sqrt(K) (Antoni & Randall 2006; exact form by Nita & Gary 2010, MNRAS 406). With overlapping
/// rows hand in half the degrees of freedom of their average. NaN for K <= 1.
[[nodiscard]] double spectral_kurtosis_deviation(double independent_rows);

/// A line of a squared envelope relative to its mean: |sum e[i] exp(-2 pi i place i)| / sum e[i], 0 to 1.
/// `place` is in cycles per value. Only whole cycles leave the mean out: subtract nothing, choose the length.
/// NaN for an empty or silent envelope.
[[nodiscard]] double envelope_line(std::span<const float> squared_envelope, double cycles_per_value);

/// What that line is when a carrier's amplitude swells as 1 + m cos: m / (1 + m^2/2), m >= 0.
[[nodiscard]] double envelope_line_of_depth(double depth);
/// The swelling depth m (0 to sqrt 2) that gives such a line; lines above 1/sqrt 2 come from pulses, not from
/// one swelling, and give NaN.
[[nodiscard]] double depth_of_envelope_line(double line);
/// How far the level swings between loudest and softest for a depth m < 1: 20 lg((1+m)/(1-m)); infinite
/// from 1.
[[nodiscard]] Decibel level_swing(double depth);

}  // namespace cranknote::signal
