// What a recording gave, as bytes for the cache.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "compare/examine.hpp"
#include "job/evidence.hpp"

namespace cranknote::job {

/// Changes with everything that an Examined follows from: the recording's content, its stretch, its tag, the
/// engine's cylinders and stroke, the program's build of the rooms that compute it, and the form of the
/// bytes.
[[nodiscard]] std::string portrait_key(const EvidenceRecording& recording, const SpeedSettings& settings);

/// In this machine's order of bytes: a cache is not sent to anybody.
[[nodiscard]] std::string to_bytes(const Examined& examined);
/// Absent where the bytes are not whole.
[[nodiscard]] std::optional<Examined> from_bytes(std::string_view bytes);

}  // namespace cranknote::job
