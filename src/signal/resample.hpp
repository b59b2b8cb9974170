// Samples at other moments than they were taken: another rate, or equal steps of crank angle.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace cranknote::signal {

/// Kaiser-windowed sinc interpolation, `taps` long, tabulated at `phases` positions with linear interpolation
/// between them. For a signal below 0.4 of its rate: pass band within 0.01 dB, images below -90 dB
/// (tests/signal/resample.cpp measures both; linear interpolation between samples would err by 0.3 dB and
/// leave images at -37 dB at 0.1 of the rate).
class Interpolator {
  public:
    /// `bandwidth` is the pass band as a share of what the input holds (1: all; 1/4: before taking every 4th
    /// sample).
    explicit Interpolator(double bandwidth = 1.0);

    /// The value of x at the (fractional) sample position; zero beyond the ends.
    [[nodiscard]] float at(std::span<const float> x, double position) const;
    /// Values at many positions.
    void at(std::span<const float> x, std::span<const double> positions, std::span<float> out) const;

  private:
    std::size_t half_;          // taps on each side
    std::vector<float> table_;  // (phases + 1) rows of 2 * half_ taps
    std::vector<float> slope_;  // row[i + 1] - row[i]
};

/// The interpolator of the whole band; made once, since its table takes a millisecond.
[[nodiscard]] const Interpolator& full_band_interpolator();

/// The signal at another, lower rate; `rate_out` <= `rate_in`. Low-passed at 0.45 of the new rate.
[[nodiscard]] std::vector<float> decimated(std::span<const float> x, double rate_in, double rate_out);

}  // namespace cranknote::signal
