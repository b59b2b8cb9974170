// Averaged spectra for the simulator's own levels. Its own code, so that an error in signal/ cannot hide
// here.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace cranknote::simulate {

/// One-sided power density: power per Hz (full scale squared per Hz), at k * step Hz.
struct Spectrum {
    double step = 1.0;
    std::vector<double> power;

    [[nodiscard]] double density(double hz) const;  ///< of the nearest line
    [[nodiscard]] double between(double low_hz,
                                 double high_hz) const;  ///< power in a band; edges share a line
};

/// Welch's method, Hann window of `size` (a power of two), half overlap; zero-padded to one window if
/// shorter.
[[nodiscard]] Spectrum welch(std::span<const float> wave, double rate, std::size_t size);

/// Bandwidth in which a tone competes with noise: 25 + 75 (1 + 1.4 (f/kHz)^2)^0.69 Hz (Zwicker; ECMA-418-1).
[[nodiscard]] double critical_band(double hz);

}  // namespace cranknote::simulate
