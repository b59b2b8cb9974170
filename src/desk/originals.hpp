// Are the recordings what they were when they were added? Slow (it reads them all), for a worker.
#pragma once

#include <filesystem>
#include <optional>
#include <stop_token>
#include <string>

#include "job/job.hpp"

namespace cranknote::desk {

struct Originals {
    bool whole = true;
    std::string sentence;  ///< empty: there is none to check
};

/// Hashes every original. Absent: stopped. Never throws.
[[nodiscard]] std::optional<Originals> originals_of(const std::filesystem::path& folder, const job::Job& job,
                                                    std::stop_token stop);

}  // namespace cranknote::desk
