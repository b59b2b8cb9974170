// Are the originals what they were when they were added?
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "job/disk.hpp"
#include "job/job.hpp"

namespace cranknote::job {

/// How much a fault takes away.
enum class Fault {
    missing,     ///< the file is not there
    changed,     ///< its content is not what was added
    touched,     ///< size or time differ from when it was added: not yet known whether its content does
    unreadable,  ///< it cannot be read
    stray,       ///< a file in recordings/ that the job does not name
    damaged,     ///< job.json or a version in history/
};

/// One thing that is not as it should be.
struct Trouble {
    Fault fault;
    std::string file;  ///< inside the job's folder
    std::string text;  ///< one sentence
};

/// A quick look at size and time of every original, for opening a job. Hashes are not computed.
[[nodiscard]] std::vector<Trouble> glance(const std::filesystem::path& folder, const Job& job);

/// What verify found.
struct Verified {
    int files = 0;     ///< originals checked
    int versions = 0;  ///< good versions in history/
    std::vector<Trouble> troubles;
    bool whole = true;  ///< nothing that takes evidence away (a stray file does not)
};

/// Everything: schema and readability of job.json and its versions, the hash of every original, strays.
/// Absent only when `progress` (0 to 1 over all bytes) stopped it.
[[nodiscard]] std::optional<Verified> verify(const std::filesystem::path& folder,
                                             const Progress& progress = {});

}  // namespace cranknote::job
