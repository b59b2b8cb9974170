// Window functions and the numbers that follow from them.
//
// Every window here is in its periodic form (the first of n+1 symmetric values up to the n-th), the form that
// averaged spectra need: shifted copies add up evenly and sums are exact cosine sums.
// Source unless said otherwise: Harris 1978, "On the use of windows for harmonic analysis with the discrete
// Fourier transform", Proc. IEEE 66(1).
// It does not decide which window a spectrum uses; portrait does.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "units/units.hpp"

namespace cranknote::signal {

enum class WindowShape {
    rectangle,
    triangle,
    hann,
    hamming,          ///< 0.54 + 0.46 cos
    blackman,         ///< 0.42, 0.5, 0.08
    blackman_harris,  ///< the four-term window with -92 dB side lobes
    kaiser,           ///< takes the parameter alpha (Harris's a; beta = pi alpha)
    flat_top          ///< five terms, D'Antona & Ferrero 2006; scallop loss 0.01 dB
};

/// The n values of a window, the largest 1 (0 to 1; the flat top dips to about -0.0004 at its feet).
/// n = 0 gives an empty vector, n = 1 gives {1} for every shape.
/// `kaiser_alpha` is used by the Kaiser window alone; 0 is the rectangle.
[[nodiscard]] std::vector<double> window_values(WindowShape shape, std::size_t n, double kaiser_alpha = 2.5);

/// Mean of the window: what a steady tone's amplitude is multiplied by. 0 for an empty window.
[[nodiscard]] double coherent_gain(std::span<const double> window);

/// Equivalent noise bandwidth in lines (bins): n sum w^2 / (sum w)^2. At least 1.
/// Times rate / n it is the bandwidth in Hz by which a line's power is divided to get density.
/// NaN for a window that sums to zero.
[[nodiscard]] double noise_bandwidth_lines(std::span<const double> window);

/// How much lower a tone half way between two lines reads than one on a line; positive dB.
[[nodiscard]] Decibel scallop_loss(std::span<const double> window);

/// Scallop loss plus noise bandwidth: the worst loss of signal to noise for a tone at any place; positive dB.
[[nodiscard]] Decibel worst_case_loss(std::span<const double> window);

/// Correlation of the window with itself shifted by `hop` samples: sum w[i] w[i+hop] / sum w^2.
/// 1 for hop 0, 0 for a hop of n or more (and for an all-zero window).
[[nodiscard]] double overlap_correlation(std::span<const double> window, std::size_t hop);

/// Effective degrees of freedom of the mean of `segments` windowed periodograms of Gaussian noise, `hop`
/// apart: nu = 2K / (1 + 2 sum (1 - m/K) rho_m^2), rho_m the overlap correlation at m hops (Welch 1967;
/// Percival & Walden 1993, section 6.17). nu/2 is the number of independent averages. 0 for no segments.
/// Precondition: hop > 0. Holds away from 0 Hz and the Nyquist frequency (there it is half).
[[nodiscard]] double welch_dof(std::span<const double> window, std::size_t hop, std::size_t segments);

}  // namespace cranknote::signal
