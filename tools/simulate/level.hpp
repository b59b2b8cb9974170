// How loud a fault is: its energy at the microphone over the recording relative to the healthy engine's, in
// the fault's -10 dB bandwidth, at least a third octave.
#pragma once

#include <utility>

#include "simulate/sounds.hpp"
#include "simulate/spectrum.hpp"

namespace cranknote::simulate {

/// The band in which a fault's power density, smoothed over a sixth octave, is within 10 dB of its highest,
/// without a gap; widened to a third octave (base ten, IEC 61260-1) about its middle where it is narrower.
/// Looked for from 60 Hz up.
[[nodiscard]] std::pair<double, double> fault_band(const Spectrum& fault);

/// 10 lg of the ratio of powers in a band, dB. -200 for a silent fault.
[[nodiscard]] double level_in(const Spectrum& fault, const Spectrum& healthy, std::pair<double, double> band);

}  // namespace cranknote::simulate
