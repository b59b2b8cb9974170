// A whole job computed: what every recording says, as found against each state, complaints, suspects, what
// next, whether the repair holds. The command line, the note and the window share this.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <stop_token>
#include <string>
#include <vector>

#include "compare/examine.hpp"
#include "diagnose/through_states.hpp"
#include "job/cache.hpp"
#include "job/evidence.hpp"

namespace cranknote::job {

/// What one recording gave.
struct Listened {
    std::string id;                            ///< as in the job
    std::size_t state = 0;                     ///< index into Evidence::states
    std::shared_ptr<const Examined> examined;  ///< nullptr: it could not be read, `trouble` says why
    std::string trouble;                       ///< one sentence
};

/// Results only; nothing in it changes once it is made. Portraits live in `recordings`.
struct Analysis {
    Evidence evidence;                         ///< layout, states, recordings, as the job says them
    std::vector<Listened> recordings;          ///< one for each of evidence.recordings
    std::vector<StateComparison> comparisons;  ///< as found against each later state that can be
    std::vector<Finding> as_found;             ///< what stands out as found, without any other state
    JobEvidence job;                           ///< complaints through the states, hands, repair
    JobVerdict verdict;
    std::vector<std::string> remarks;  ///< sentences: recordings that were left out, and why
};

/// Called with the share done (0 to 1) and what is being done ("listening to r3"). From the calling thread.
using AnalysisProgress = std::function<void(double share, const std::string& what)>;

/// One recording, from the cache where it is there. What cannot be read is an answer, not an exception.
/// Throws Stopped when `stop` was used.
[[nodiscard]] Listened listen(const EvidenceRecording& recording, const Layout& layout, const Cache& cache,
                              std::stop_token stop = {});

/// The whole job from recordings that were listened to (as many, in the same order, as evidence.recordings).
[[nodiscard]] Analysis analysis_of(Evidence evidence, const Job& job, std::vector<Listened> recordings);

/// Both: reads every recording of a job in `folder` (portraits are kept in its cache/, if that can be
/// written) and works it all out. A recording whose crank speed is not sure is read once more in the light
/// of the others. Throws Error as evidence_of does, Stopped when `stop` was used.
[[nodiscard]] Analysis analyse(const std::filesystem::path& folder, const Job& job,
                               const AnalysisProgress& progress = {}, std::stop_token stop = {});

}  // namespace cranknote::job
