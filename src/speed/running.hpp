// When the engine runs in a recording, and in which stretch its speed can be followed.
#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "speed/refine.hpp"
#include "speed/speed.hpp"

namespace cranknote::speed_detail {

/// A piece holds the engine's lines, and they keep step: its speed is known there. Isolated pieces are judged
/// with their neighbours (median of five).
struct PieceVerdict {
    bool alive = false;   ///< the lines are there
    bool locked = false;  ///< and they keep step with the next piece
};
[[nodiscard]] std::vector<PieceVerdict> verdicts(const std::vector<PieceState>& pieces);

/// Share of the pieces with an engine in them whose speed is not known; 0 without pieces.
[[nodiscard]] double unlocked_share(const std::vector<PieceState>& pieces);
/// Seconds of sound in which the speed is known.
[[nodiscard]] Seconds locked_time(const std::vector<PieceState>& pieces);

/// The longest stretch in which the speed is known, gaps shorter than `gap` bridged, with when the engine
/// comes on and goes off. Without any: used of no length.
[[nodiscard]] RunningStretch running_stretch(const std::vector<PieceState>& pieces, Seconds duration);

}  // namespace cranknote::speed_detail
