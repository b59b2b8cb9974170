// Recordings of one engine examined together: where one's crank speed is in doubt, the others help.
#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "compare/examine.hpp"

namespace cranknote {

/// A check of this state moves the speed on purpose (run-up, held-speed, shut-off): its recordings settle
/// nothing for the others.
[[nodiscard]] bool speed_is_moved(const std::vector<std::string>& with);

/// Examines recording i once more, with a tag.
using ExamineAgain = std::function<Examined(std::size_t i, const SpeedTag& tag)>;

/// For each recording that the others help its new examination (another multiple, or the same one surer or
/// less sure); absent where nothing changes. nullptr: neither helps nor is helped (it could not be read, or
/// its speed was moved on purpose).
[[nodiscard]] std::vector<std::optional<Examined>> settled_together(const std::vector<const Examined*>& all,
                                                                    const ExamineAgain& again);

}  // namespace cranknote
