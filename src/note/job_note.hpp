// A whole job as a note: what people typed and what was computed, put where a reader looks for it.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "diagnose/job.hpp"
#include "job/analysis.hpp"
#include "job/evidence.hpp"
#include "job/job.hpp"
#include "note/note.hpp"

namespace cranknote {

/// As found against one later state.
struct JobPair {
    std::size_t state = 0;  ///< index into the evidence's states
    bool same_placement = false;
    double false_discovery = 0.0;  ///< at which its changes were flagged
    Comparison comparison;
};

/// A job's recording as it was computed; without a summary it could not be read, and `trouble` says why.
struct JobRecording {
    std::optional<RecordingSummary> summary;
    std::string trouble;
};

/// What was computed from a whole job.
struct JobResult {
    job::Evidence evidence;
    std::vector<JobRecording> recordings;  ///< one for each of evidence.recordings
    std::vector<JobPair> pairs;            ///< in order of time
    std::optional<Comparison> repair;      ///< as found against the last state after a repair
    JobVerdict verdict;
    std::vector<std::string> remarks;  ///< sentences
};

[[nodiscard]] JobResult result_of(const job::Analysis& analysis);

/// What is said when the note is written, and stands nowhere in the job.
struct NoteWords {
    std::string complaint;  ///< in the driver's words; empty: the job's title stands above, and is enough
    std::vector<std::string> done;   ///< empty: what the states say was set right
    System system = System::metric;  ///< for temperatures
    std::string shop;
    std::string date;     ///< in words; empty: the visit's
    std::string created;  ///< ISO 8601
    std::string program;
};

/// The note's data; without clips, which need the sound (clips_of).
[[nodiscard]] NoteData note_of_job(const job::Job& job, const JobResult& result, const NoteWords& words,
                                   const Sentences& say = {});

/// The later state that tells the most of the first complaint: where it went, before any repair if there is
/// one. Index into result.pairs; absent where no state was compared.
[[nodiscard]] std::optional<std::size_t> telling_pair(const JobResult& result);

/// What is to be heard as found and after: a recording of each (indices into evidence.recordings), and the
/// complaint's band. Absent where there is no later state.
struct Listening {
    std::size_t found = 0, after = 0;
    std::string after_state;
    std::vector<std::pair<Hertz, Hertz>> bands;  ///< of the complaints, three at most: clips fill a page
    Decibel offset{0.0};                         ///< level of after against found where nothing changed
};
[[nodiscard]] std::optional<Listening> listening_of(const JobResult& result);

}  // namespace cranknote
