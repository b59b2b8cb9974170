// The result of comparing two states: field by field as the JSON contract has it.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "portrait/finding.hpp"
#include "portrait/quality.hpp"
#include "speed/speed.hpp"

namespace cranknote {

/// What one recording gave, as far as results name it.
struct RecordingSummary {
    std::string file;
    Seconds duration{0.0};
    std::pair<Seconds, Seconds> used{};  ///< the stretch that was analysed
    SampleRate rate;
    SpeedReading speed;
    std::vector<QualityRemark> quality;
};

struct Comparable {
    std::optional<std::pair<Hertz, Hertz>> hz;
    std::optional<std::pair<Ratio, Ratio>> ratio;
    std::vector<std::string> why;  ///< sentences: what limits it
};

/// How far apart two recordings of one state were taken to be.
struct Spread {
    bool measured = false;  ///< from repeats, else the stated default
    Decibel db{0.0};        ///< standard deviation of an octave's level between two recordings of one state
    std::optional<Decibel> least_octave;  ///< a steady change smaller than this, in one octave and nowhere
                                          ///< else, is not flagged; absent where no octave was compared
};

/// One level over frequency or ratio of both sides, for figures. B is already aligned to A.
struct Curve {
    std::vector<double> x;         ///< Hz or ratio, rising
    std::vector<float> a, b;       ///< dB
    std::vector<float> change;     ///< b - a, smoothed to the width at which it is judged
    std::vector<float> low, high;  ///< 95 % interval of `change`, from the errors of cells at its width
};

struct Comparison {
    std::vector<RecordingSummary> a, b;
    Comparable comparable;
    Decibel level_offset{0.0};  ///< gain difference B - A that was taken out
    Spread spread;
    std::vector<Finding> findings;     ///< flagged first, then by weight
    std::vector<std::string> remarks;  ///< sentences: alignment, detection limit without repeats
    Curve over_hz, over_ratio;
};

}  // namespace cranknote
