// How loud each band is, moment by moment: the sound's swelling and knocking.
#pragma once

#include <cstddef>
#include <span>
#include <utility>
#include <vector>

namespace cranknote::signal {

/// Power of several bands through time. band[i][j]: mean square of band i around moment (j hop + length/2) /
/// rate.
struct BandPowers {
    double rate = 0.0;   ///< values per second
    double first = 0.0;  ///< seconds from the first sample to the middle of the first window
    std::vector<std::pair<double, double>> edges;  ///< Hz
    std::vector<std::vector<float>> band;
};

/// Squared envelopes of bands by short Hann-windowed transforms of `length` samples, `hop` apart: the
/// short-time power summed over each band's lines. It follows changes slower than about rate / length.
[[nodiscard]] BandPowers band_powers(std::span<const float> x, double rate,
                                     const std::vector<std::pair<double, double>>& edges, std::size_t length,
                                     std::size_t hop);

/// The analytic signal's magnitude (Hilbert envelope) of the whole signal, by FFT.
[[nodiscard]] std::vector<float> hilbert_envelope(std::span<const float> x);

}  // namespace cranknote::signal
