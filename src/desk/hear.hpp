// From a job to what is known of it: examining recordings, comparing states. Slow, for the worker.
#pragma once

#include <functional>
#include <memory>
#include <stop_token>

#include "desk/scene.hpp"
#include "job/evidence.hpp"

namespace cranknote::desk {

/// Examines one recording. Never throws: what is wrong is in `trouble`. Stopped: neither examined nor
/// trouble.
[[nodiscard]] Heard hear(const job::EvidenceRecording& recording, const Layout& layout, std::stop_token stop);

/// Compares two states by all their recordings that could be examined. The same state twice: what stands out
/// in it.
[[nodiscard]] std::shared_ptr<const Compared> compare_states(const Scene& scene, std::size_t a,
                                                             std::size_t b);

/// What makes a recording's result: another key needs another hearing.
[[nodiscard]] std::string hearing_key(const job::EvidenceRecording& recording, const Layout& layout);

}  // namespace cranknote::desk
