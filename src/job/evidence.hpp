// A job as the pipeline takes it: layout, states with what stands still, recordings with their conditions.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "diagnose/diagnose.hpp"
#include "job/job.hpp"
#include "layout/layout.hpp"

namespace cranknote::job {

/// The job's own layout, or the typical front end for its cylinders. Throws Error with "layout.toml:line..."
/// where its text is no layout, and where the job has neither.
[[nodiscard]] Layout layout_of(const Job& job);

/// One recording as the pipeline takes it.
struct EvidenceRecording {
    std::string id;              ///< as in the job
    std::filesystem::path file;  ///< where to read it
    std::string sha256;          ///< content, for keys of the cache
    std::size_t state = 0;       ///< index into Evidence::states
    std::optional<Seconds> from, to;
    std::optional<SpeedTag> tag;
    std::optional<int> pickup_channel;
    /// Recordings of an equal placement share the phone untouched. Where none was said, the stretches of one
    /// file share theirs and every other recording has its own. Never empty.
    std::string placement;
    std::optional<std::string> near;
    std::optional<Seconds> since_start;
    std::optional<bool> cold;
};

struct Evidence {
    Layout layout;
    std::vector<cranknote::State> states;  ///< in order of time; `repaired` holds from the repair on
    std::vector<EvidenceRecording> recordings;
    std::vector<Complaint> complaints;
    std::vector<std::string> worked_on;
    std::vector<Saw> saw;
    std::optional<std::filesystem::path> sister;  ///< another job's folder, if it is where it was
};

/// `folder` is where the job is. Throws Error as layout_of, and for a recording that leads out of the folder.
[[nodiscard]] Evidence evidence_of(const std::filesystem::path& folder, const Job& job);

/// Cold below 50 °C, warm from 70 °C (a thermostat begins to open at some 80 °C: common practice); absent
/// between, and where nothing was said.
[[nodiscard]] std::optional<bool> is_cold(const std::optional<Coolant>& coolant);

/// What makes two recordings' conditions unlike, a sentence each: coolant, time since start while cold,
/// loads, where the microphone was. Empty: nothing that was written down does.
[[nodiscard]] std::vector<std::string> unlike(const Recording& a, const Recording& b);

/// Where the sister engine's job is: by its path as kept, checked by its id. Absent: not found there.
[[nodiscard]] std::optional<std::filesystem::path> find_sister(const std::filesystem::path& folder,
                                                               const Like& like);

}  // namespace cranknote::job
