// One known sound looked for again in other recordings.
#pragma once

#include <optional>
#include <vector>

#include "compare/compare.hpp"

namespace cranknote {

struct Retraced {
    Verdict verdict = Verdict::cannot_tell;
    std::optional<Decibel> change;  ///< b - a
    std::pair<std::optional<Decibel>, std::optional<Decibel>> interval;
};

/// What became of a sound between a and b: from the comparison's finding of it, else read at its place in
/// the portraits against the default spread between recordings.
[[nodiscard]] Retraced retrace(const Finding& sound, const Comparison& comparison, const std::vector<Take>& a,
                               const std::vector<Take>& b, const CompareSettings& how);

/// A finding at a place that somebody named: a tone there, else a beat, else a band. Without anything there
/// the place alone is filled.
[[nodiscard]] Finding retraced_from(std::optional<Ratio> ratio, std::optional<Ratio> beat_ratio,
                                    const std::optional<std::pair<Hertz, Hertz>>& hz,
                                    const std::vector<Take>& takes);

/// How loud the sound is in one recording, re full scale: its tone or its band. Absent: not held.
[[nodiscard]] std::optional<Decibel> level_in(const Finding& sound, const Take& take);

}  // namespace cranknote
