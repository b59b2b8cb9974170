// The repair note of the open job, onto the disk. Slow (it reads sound), for the worker.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "job/analysis.hpp"

namespace cranknote::desk {

/// Writes the note as HTML (clips play in it), PDF and text into the job's notes/, named by day and time.
/// Returns the files' names. Throws Error.
[[nodiscard]] std::vector<std::string> write_note(const std::filesystem::path& folder, const job::Job& job,
                                                  const job::Analysis& analysis);

}  // namespace cranknote::desk
