// A phone's folder or a card with a mess of files: which are sound, when they were made, what they are good
// for, and which state each may be of. Looks only; nothing is added here.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "compare/examine.hpp"
#include "job/disk.hpp"
#include "job/edit.hpp"
#include "job/job.hpp"
#include "layout/layout.hpp"

namespace cranknote::job {

/// No more files than this are looked at, so that a whole disk is not.
inline constexpr std::size_t most_files_looked_at = 5000;
/// Recordings that begin this soon after another's end, without a telling name, are taken for the same state:
/// hardly anything is taken off and run again sooner (judged).
inline constexpr Seconds same_state_within{150.0};

/// One sound file that was found.
struct FoundSound {
    std::filesystem::path file;
    std::string trouble;  ///< it cannot be read: why; empty: it can
    std::optional<Seconds> duration;
    Moment began{};                    ///< when the recording began: for the order
    bool time_from_container = false;  ///< as the phone wrote it; else from the file's time of change
    std::vector<QualityRemark> quality;
    bool usable = false;         ///< it can be read, and nothing in `quality` says that it is of no use
    bool voice_message = false;  ///< re-encoded for speech: by its codec, or its name and a lossy codec
    std::string same_as;         ///< the same content: "r1" of the job, or another file's name
    std::string sha256;
};

/// What was found, in order of time.
struct Found {
    std::vector<FoundSound> sounds;
    std::size_t others = 0;  ///< files that are no sound
    bool all = true;         ///< false: there were more than most_files_looked_at
};

/// Looks through a folder and those below it; links and hidden files are passed over. `job` and `layout` may
/// be absent. Absent only when `progress` stopped it. Throws Error where `folder` is none or cannot be read.
[[nodiscard]] std::optional<Found> look_through(const std::filesystem::path& folder, const Job* job,
                                                const Layout* layout, const Progress& progress = {});

/// Which state a file may be of. With `why_not` it is not for adding unasked; `addition.state` may still be a
/// guess.
struct Suggestion {
    Addition addition;
    std::string why_not;
};

/// One for each of found.sounds: by its telling name ("fan off, cold.m4a"), else by the order: what comes
/// first is "as found", what follows soon is the state before, what comes later is a new state of which
/// nobody said what was off.
[[nodiscard]] std::vector<Suggestion> suggest_states(const Found& found, const Job* job,
                                                     const Layout* layout);

/// Does a file's name look like a messenger's voice message?
[[nodiscard]] bool is_voice_message_name(const std::string& stem);

}  // namespace cranknote::job
