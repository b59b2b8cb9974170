// What in a sound tells crank speed: its low lines, and the lines of its envelopes.
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "units/units.hpp"

namespace cranknote::speed_detail {

/// A stream at a low rate whose lines lie on multiples of the cycle frequency.
struct Stream {
    SampleRate rate;
    Seconds first{0.0};  ///< moment of its first sample
    std::vector<float> samples;
    Hertz low, high;  ///< where its lines are looked for
};

/// [0] the sound itself below about 1.1 kHz; the rest: logarithmic envelopes of wide bands, of which a
/// phone's low cut takes nothing away (a four-cylinder's idle fires at 27 Hz, but its ticks at 3 kHz still
/// come 27 times a second).
struct Evidence {
    Stream sound;
    std::vector<Stream> envelopes;
    Seconds duration{0.0};
};

[[nodiscard]] Evidence evidence_of(std::span<const float> x, SampleRate rate);

/// How far each line stands above its surroundings: ln(power / local floor), from 0 to `ceiling`. The floor
/// is a low quantile of the lines within `reach` lines on either side, so that a comb does not raise it.
[[nodiscard]] std::vector<float> standing_out(std::span<const float> power, std::size_t reach,
                                              float ceiling = 4.0F);

/// Power lines of a piece of a stream, Hann-windowed and zero-padded to at least `pad` times its length.
class LineSpectrum {
  public:
    LineSpectrum(std::size_t length, std::size_t pad);
    ~LineSpectrum();
    LineSpectrum(LineSpectrum&&) noexcept;
    LineSpectrum& operator=(LineSpectrum&&) noexcept;
    [[nodiscard]] std::size_t padded() const;
    [[nodiscard]] std::size_t length() const;
    void power(std::span<const float> piece, std::vector<float>& out);

  private:
    struct Impl;
    Impl* impl_;
};

}  // namespace cranknote::speed_detail
