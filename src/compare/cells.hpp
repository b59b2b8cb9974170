// Every band, tone and beat that may have changed between two sides, with its difference and what chance
// would do.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "compare/align.hpp"
#include "compare/compare.hpp"
#include "compare/range.hpp"
#include "compare/spread.hpp"

namespace cranknote {

enum class CellKind { band, bump, tone_hz, tone_ratio, beat };

struct Cell {
    CellKind kind = CellKind::band;
    double low = 0.0, high = 0.0;  ///< Hz: the band, or the carriers that swell
    double place = 0.0;            ///< ratio (tone_ratio, beat) or Hz (tone_hz): the family's fundamental
    std::vector<double> members;   ///< places of the family that were read, `place` first
    double a = 0.0, b = 0.0;       ///< mean levels, dB, not aligned
    double prominence_a = 0.0, prominence_b = 0.0;  ///< the most of any member
    /// How far it stands out in one member: the clearest where it is louder, and what that one holds where it
    /// is quieter.
    double loud = 0.0, left = 0.0;
    double change = 0.0;      ///< dB, b - a, aligned
    double error = 1.0;       ///< its standard deviation when nothing changed
    double weight = 1.0;      ///< how much is expected of its kind, set before any sound is seen
    double p = 1.0, q = 1.0;  ///< by chance; false-discovery rate
};

[[nodiscard]] std::vector<Cell> cells_of(const std::vector<Take>& a, const std::vector<Take>& b,
                                         const CommonRange& range, const Alignment& alignment,
                                         const SpreadModel& spread, double spread_factor);

/// What chance alone does to a change read between two sides: its standard deviation, as cells have it.
struct ChanceOf {
    const std::vector<Take>& a;
    const std::vector<Take>& b;
    const SpreadModel& spread;
    double spread_factor;

    /// Of a third octave's level (or about that width), Hz. Absent where a take does not hold it.
    [[nodiscard]] std::optional<double> third(double low, double high) const;
    /// Of a line's level; `at` is a ratio, and both sides have a speed.
    [[nodiscard]] std::optional<double> line(double at) const;
};

/// The smallest change of one octave that would be flagged if nothing else had changed: median over the
/// octaves that were compared, at this false-discovery rate over all these cells. Absent without an octave.
[[nodiscard]] std::optional<Decibel> least_octave(const std::vector<Cell>& cells, double false_discovery);

/// Two-sided p of each cell's change, and q values over all of them. The null is that of a room's
/// interference: ratio of two powers, each of as many independent places as give the cell's error (F
/// distribution; Schroeder 1962), which has the heavy tails that fading has. False discovery by Benjamini &
/// Hochberg 1995 with weights (Genovese, Roeder & Wasserman 2006).
void judge(std::vector<Cell>& cells);

}  // namespace cranknote
