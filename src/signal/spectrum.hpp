// Averaged power spectra of anything sampled evenly, be it against time or against crank angle.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace cranknote::signal {

/// Power density at 0, step, 2 step ... up to half the sampling density (one-sided: its sum times `step` is
/// the mean square of the signal). `step` is in cycles per unit of the sampling density handed in: Hz for
/// samples per second, ratio for samples per crank turn.
struct Spectrum {
    double step = 0.0;
    std::vector<float> density;
    double dof = 0.0;          ///< degrees of freedom of each line (Welch 1967; 2 per independent average)
    std::size_t segments = 0;  ///< how many were averaged
};

/// One row a segment, `lines` columns: power densities as in Spectrum, not averaged.
struct Spectrogram {
    double step = 0.0;
    double hop = 0.0;  ///< from row to row, in units of 1 / sampling density
    std::size_t rows = 0, lines = 0;
    std::vector<float> density;
    [[nodiscard]] std::span<const float> row(std::size_t i) const {
        return std::span<const float>(density).subspan(i * lines, lines);
    }
};

/// Hann-windowed spectra of every whole segment of `length` samples, `hop` apart; each segment's mean is
/// taken off. length even; a signal shorter than one segment gives no rows.
[[nodiscard]] Spectrogram spectrogram(std::span<const float> x, double density, std::size_t length,
                                      std::size_t hop);

/// The mean over the rows, with the degrees of freedom that a Hann window at this overlap leaves.
[[nodiscard]] Spectrum averaged(const Spectrogram& s, std::size_t length, std::size_t hop);

/// Welch's averaged spectrum (Welch 1967) with a periodic Hann window, without keeping the rows.
[[nodiscard]] Spectrum averaged_spectrum(std::span<const float> x, double density, std::size_t length,
                                         std::size_t hop);

/// Mean square between two frequencies (same unit as step), lines counted by the share that lies inside.
[[nodiscard]] double band_power(std::span<const float> density, double step, double low, double high);

}  // namespace cranknote::signal
