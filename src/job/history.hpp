// The versions in a job's history/ folder.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "job/json.hpp"

namespace cranknote::job {

/// Where a job's files are.
struct Places {
    std::filesystem::path folder;
    [[nodiscard]] std::filesystem::path job() const { return folder / "job.json"; }
    [[nodiscard]] std::filesystem::path layout() const { return folder / "layout.toml"; }
    [[nodiscard]] std::filesystem::path history() const { return folder / "history"; }
    [[nodiscard]] std::filesystem::path version(int revision) const;
    [[nodiscard]] std::filesystem::path undone(int revision) const;
    [[nodiscard]] std::filesystem::path kept_layout(const std::string& sha256) const;
};

/// Revisions kept as `kind`.NNNNNN.json ("job" or "undone"), rising.
[[nodiscard]] std::vector<int> revisions(const Places& places, std::string_view kind);

/// Makes `to` another name of a file's present content (a hard link, or a copy where there are none).
void keep_as(const std::filesystem::path& file, const std::filesystem::path& to);

/// Forgets all versions but the newest ten before `revision`, and layouts that no kept version needs.
void prune_history(const Places& places, int revision);

/// A version as it was read, its layout included.
struct Loaded {
    Job job;
    int schema = cranknote::job::schema;
    std::vector<std::string> remarks;
    bool layout_missing = false;
};

/// Reads a version and its layout. Throws Error if the JSON is no good.
[[nodiscard]] Loaded load_version(const Places& places, const std::filesystem::path& file);

/// Reads job.json, or the newest good version if it is damaged (then `damaged` says what was wrong).
struct Opened {
    Loaded loaded;
    std::string damaged;
};
[[nodiscard]] Opened load_newest_good(const Places& places);

}  // namespace cranknote::job
