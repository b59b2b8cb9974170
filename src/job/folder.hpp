// The job on disk: a folder that a person can read.
//
//   job.json         the job; saved whole or not at all
//   layout.toml      what turns on this engine, if the job has a layout of its own; may be edited by hand
//   recordings/      the originals, untouched
//   notes/           repair notes and whatever a person puts there
//   cache/           may be deleted
//   history/         the last ten versions (job.000012.json), the layouts that belong to them
//                    (layout.HASH.toml), and what was undone (undone.000013.json)
//   job.lock         who has it open for changes (advisory: flock)
#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "job/job.hpp"

namespace cranknote::job {

/// How many earlier versions are kept.
inline constexpr int versions_kept = 10;

enum class Access {
    read,               ///< only look; never locks, never writes
    change,             ///< locks; throws where it cannot be changed
    change_if_possible  ///< locks, or opens to read and says why
};

/// How to open.
struct Opening {
    Access access = Access::read;
    std::string program = "cranknote";  ///< what a second program is told has the job open
    double wait_s = 0.0;                ///< how long to wait for another program to let go
};

/// An open job. Move only; closing (or dying) lets go of the lock.
class Folder {
  public:
    /// Makes a new job: `job` gets its id and first revision. `path` must not be there, or be an empty
    /// folder; its parent must be there. Whole or not at all. Throws Error (wrong call if something is in the
    /// way).
    [[nodiscard]] static Folder create(const std::filesystem::path& path, Job job,
                                       const std::string& program = "cranknote");

    /// Opens a job. A damaged job.json is replaced by the last good version in history/, said in remarks().
    /// Throws Error: no job there, nothing good left, held by another program (named), not writable.
    [[nodiscard]] static Folder open(const std::filesystem::path& path, const Opening& opening = {});

    Folder(Folder&&) noexcept;
    Folder& operator=(Folder&&) noexcept;
    ~Folder();

    [[nodiscard]] const Job& job() const;
    [[nodiscard]] const std::filesystem::path& path() const;

    /// Empty if it can be changed; else one sentence that says why not.
    [[nodiscard]] const std::string& read_only() const;
    /// What a person should know about the opening: recovered from an earlier version, layout edited by hand.
    [[nodiscard]] const std::vector<std::string>& remarks() const;

    /// Saves a changed job as the next revision; the one before is kept. `change` is what it did, one
    /// sentence. After an Error the job on the disk and job() are as they were.
    void save(Job next, const std::string& change);

    /// Goes back one version and returns what was undone; absent if there is nothing to undo.
    std::optional<std::string> undo();
    /// Takes the last undo back and returns what was done again; absent if there is none (a save ends it).
    std::optional<std::string> redo();

    /// Where something inside the folder is. Throws Error where it would lead out.
    [[nodiscard]] std::filesystem::path inside(std::string_view relative) const;

  private:
    struct Inner;
    explicit Folder(std::unique_ptr<Inner> inner);
    std::unique_ptr<Inner> inner_;
};

}  // namespace cranknote::job
