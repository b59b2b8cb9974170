// A job as one file for a colleague, and back. The file is a .zip that any machine opens: one folder in it,
// the job. Originals are stored as they are, texts are deflated.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "job/disk.hpp"
#include "job/folder.hpp"
#include "job/pack_reader.hpp"

namespace cranknote::job {

/// How to pack.
struct Packing {
    bool without_owner = false;  ///< leave out what without_owner() does, earlier versions and notes
    bool replace = false;        ///< over a file of that name
};

struct Packed {
    int files = 0;
    std::uint64_t bytes = 0;  ///< before packing
};

/// Packs a job: job.json, layout.toml, recordings/, notes/ and history/; never cache/. Every original is
/// checked by its hash on the way. Whole or not at all. Absent only when `progress` stopped it. Throws Error:
/// an original is missing or was changed, a name that is not UTF-8, `file` is there already (wrong call).
std::optional<Packed> pack(const Folder& folder, const std::filesystem::path& file, const Packing& how = {},
                           const Progress& progress = {});

struct Unpacked {
    int files = 0;
    int originals = 0;                 ///< checked by hash
    std::vector<std::string> remarks;  ///< sentences: what is wrong, but takes no evidence away
};

/// Unpacks into a new folder `folder`: beside it first, and only a whole job gets its name. Absent only when
/// `progress` stopped it. Throws Error: as PackReader does; job.json missing, not readable, or its originals
/// not what it says; `folder` is there already (wrong call).
std::optional<Unpacked> unpack(const std::filesystem::path& file, const std::filesystem::path& folder,
                               const Progress& progress = {}, const PackLimits& limits = {});

}  // namespace cranknote::job
