// What in a sound tells crank speed: its low lines, and the lines of its envelopes.
#pragma once

#include <complex>
#include <cstddef>
#include <memory>
#include <span>
#include <vector>

#include "units/units.hpp"

namespace cranknote::speed_detail {

/// A stream whose lines lie on multiples of the cycle frequency. Its first sample stands at second 0.
struct Stream {
    SampleRate rate;
    std::vector<float> samples;
    Hertz low, high;  ///< where its lines are looked for
};

/// `sound`: the sound below 1.1 kHz or so. `bass`: the same below 0.3 kHz at a quarter of the rate.
/// `envelopes`, at the same rate as `bass`: logarithmic envelopes of octave bands, of which a phone's low cut
/// takes nothing away (a four-cylinder's idle fires at 27 Hz; its ticks at 3 kHz still come 27 times a
/// second).
struct Evidence {
    Stream sound, bass;
    std::vector<Stream> envelopes;
    Seconds duration{0.0};
};

[[nodiscard]] Evidence evidence_of(std::span<const float> x, SampleRate rate);

/// The evidence of a stretch; second 0 is then its beginning.
[[nodiscard]] Evidence part_of(const Evidence& e, Seconds from, Seconds to);

/// How far each line stands above its surroundings: ln(power / local floor), from 0 to `ceiling`. The floor
/// is a low quantile of the lines within `reach` lines on either side, so that a comb does not raise it;
/// `grain` lines that hold the same (by zero-padding) count as one.
[[nodiscard]] std::vector<float> standing_out(std::span<const float> power, std::size_t reach,
                                              std::size_t grain, float ceiling);

/// Power lines of short pieces, Hann-windowed and padded with zeros to `size` (made fast, at least `length`).
class LineSpectrum {
  public:
    LineSpectrum(std::size_t length, std::size_t size);
    ~LineSpectrum();
    LineSpectrum(LineSpectrum&&) noexcept;
    LineSpectrum& operator=(LineSpectrum&&) noexcept;
    [[nodiscard]] std::size_t padded() const;
    [[nodiscard]] std::size_t length() const;
    /// Lines 0 .. count - 1 of a piece of at most `length` samples, its mean taken off; added to out times
    /// `weight`.
    void add_power(std::span<const float> piece, float weight, std::span<float> out);
    /// The same without adding: the complex lines are then in lines().
    void transform(std::span<const float> piece);
    /// The complex lines of the last piece.
    [[nodiscard]] std::span<const std::complex<float>> lines() const;

  private:
    struct Impl;
    std::unique_ptr<Impl> impl_;
};

}  // namespace cranknote::speed_detail
