// Is there a tone, and does it stand out from the noise around it?
//
// Source: ECMA-418-1 (first published as annex D of ECMA-74). Spectra are averaged power densities at 0,
// step, 2 step ... in Hz, as in signal/spectrum.hpp. A tone is judged against the noise in its own critical
// band, so that a room or a phone which changes both alike changes nothing. ECMA-418-1 speaks of the
// A-weighted or linear sound of a machine at the ear; here it is used on whatever the phone heard. What a
// tone means for a finding is decided by portrait and compare.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "units/units.hpp"

namespace cranknote::signal {

/// A stretch of the frequency axis.
struct FrequencyBand {
    Hertz low, high;
    [[nodiscard]] Hertz width() const { return high - low; }
};

/// Width of the critical band about a frequency: 25 + 75 (1 + 1.4 (f/kHz)^2)^0.69 Hz.
[[nodiscard]] Hertz critical_bandwidth(Hertz f);
/// The critical band with f at its geometric middle (ISO/PAS 20065 at every frequency; ECMA-418-1 from 500 Hz
/// up).
[[nodiscard]] FrequencyBand critical_band(Hertz f);
/// The critical band as ECMA-418-1 places it: below 500 Hz with f at its arithmetic middle. (memory: ECMA-74,
/// and editions differ; the two placements differ by 13 Hz at 90 Hz and 3 Hz at 500 Hz.)
[[nodiscard]] FrequencyBand critical_band_ecma(Hertz f);

/// A tone is prominent when its tone-to-noise ratio is at least this: 8 dB, more below 1 kHz.
[[nodiscard]] Decibel tone_to_noise_criterion(Hertz f);
/// A tone is prominent when its prominence ratio is at least this: 9 dB, more below 1 kHz.
[[nodiscard]] Decibel prominence_criterion(Hertz f);
/// Two tones closer than this are heard as one: 21 * 10^(1.2 |lg(f / 212 Hz)|^1.8) Hz.
[[nodiscard]] Hertz tone_proximity(Hertz f);

/// Level of the critical band about f over the mean of its two neighbours. Absent outside 89.1 Hz to 11.22
/// kHz, where a band reaches past the spectrum's end, and in silence.
[[nodiscard]] std::optional<Decibel> prominence_ratio(std::span<const float> density, Hertz step, Hertz f);

struct Tone {
    Hertz frequency;          ///< centre of gravity of its lines above the noise
    std::size_t first, last;  ///< its lines, both included
    Decibel level;            ///< of the tone alone (noise under it taken off), re full scale squared
    Decibel tone_to_noise;    ///< over the noise of the whole critical band
    std::optional<Decibel> prominence;
};

/// True where either ratio reaches its criterion.
[[nodiscard]] bool is_prominent(const Tone& tone);

/// The tone whose strongest line is `line`. Noise is the mean of the critical band's lines that do not stand
/// out (lines more than 6 dB above it are dropped until it settles); the tone is the unbroken run of lines
/// more than 6 dB above the noise around `line`, and other such runs within tone_proximity() of it. Absent
/// where `line` is not more than 6 dB above the noise, or not the strongest of its run; outside 89.1 Hz
/// to 11.22 kHz; where the critical band has fewer than 12 lines or reaches past the spectrum's end. A
/// spectrum of few averages has false tones: 6 dB is exceeded by chance in 2 % of lines at 2 degrees of
/// freedom and in 5e-9 at 20.
[[nodiscard]] std::optional<Tone> tone_at(std::span<const float> density, Hertz step, std::size_t line);

/// All tones of a spectrum, rising. Where two share lines the stronger is kept.
[[nodiscard]] std::vector<Tone> find_tones(std::span<const float> density, Hertz step);

/// Mean of the powers that do not stand out, and which these are. `left_out` is never among them. Powers more
/// than `factor` times the mean are dropped until the mean moves by less than 0.005 dB, or fewer than 5 would
/// stay on a side of `left_out` (ISO/PAS 20065, iteration for the mean narrow-band level; the last mean
/// stands).
struct NoiseLines {
    double mean;
    std::vector<bool> kept;
};
[[nodiscard]] NoiseLines noise_lines(std::span<const double> powers, std::size_t left_out, double factor);

}  // namespace cranknote::signal
