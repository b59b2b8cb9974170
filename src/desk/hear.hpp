// From a job to what is known of it: examining recordings, comparing states. Slow, for the worker.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <stop_token>

#include "desk/scene.hpp"
#include "job/evidence.hpp"

namespace cranknote::desk {

/// Examines one recording, or takes what is known of it from the job's cache. Never throws: what is wrong is
/// in `trouble`. Stopped: neither examined nor trouble.
[[nodiscard]] Heard hear(const job::EvidenceRecording& recording, const Layout& layout,
                         const std::filesystem::path& folder, std::stop_token stop);

/// The whole job, from the cache where it was heard before. A null pointer and no trouble: stopped.
struct Weighed {
    std::shared_ptr<const job::Analysis> analysis;
    std::string trouble;
};
[[nodiscard]] Weighed weigh(const std::filesystem::path& folder, const job::Job& job,
                            const job::AnalysisProgress& progress, std::stop_token stop);

/// Compares two states by all their recordings that could be examined; as found against a later state is
/// taken from the whole job's analysis where it is there. The same state twice: what stands out in it.
[[nodiscard]] std::shared_ptr<const Compared> compare_states(const Scene& scene, std::size_t a,
                                                             std::size_t b);

/// Its level over time and ratio. nullptr: stopped. Never throws.
[[nodiscard]] std::shared_ptr<const ThroughTime> hear_through_time(const job::Recording& recording,
                                                                   const std::filesystem::path& file,
                                                                   const Examined& examined,
                                                                   std::stop_token stop);

/// What makes a recording's result: another key needs another hearing.
[[nodiscard]] std::string hearing_key(const job::EvidenceRecording& recording, const Layout& layout);

}  // namespace cranknote::desk
