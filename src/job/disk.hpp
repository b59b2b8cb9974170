// The machine below a job: writes that happen whole or not at all, paths that stay inside a folder, hashes.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <string_view>

#include "job/moment.hpp"

namespace cranknote::job {

/// SHA-256 of bytes, 64 lower-case hex digits (FIPS 180-4, by libcrypto).
[[nodiscard]] std::string sha256_of(std::string_view bytes);

/// Called now and then with the share that is done, 0 to 1; false stops the work.
using Progress = std::function<bool(double)>;

/// SHA-256 of a file's content, read in blocks. Absent only when `progress` stopped it. Throws Error.
[[nodiscard]] std::optional<std::string> sha256_of_file(const std::filesystem::path& file,
                                                        const Progress& progress = {});

/// `bytes` random bytes as hex digits.
[[nodiscard]] std::string random_hex(int bytes);

/// Is this relative path one that cannot lead out by its words alone: not empty, not absolute, no "..", no
/// ".", no empty step, no backslash, no NUL? Links are looked at by inside().
[[nodiscard]] bool stays_inside(std::string_view relative);

/// The path of something in `folder`, there or not. Throws Error where the words or a link lead out of it.
[[nodiscard]] std::filesystem::path inside(const std::filesystem::path& folder, std::string_view relative);

/// A whole file as bytes. Throws Error if it is not a plain file, cannot be read, or is longer than `limit`.
[[nodiscard]] std::string read_file(const std::filesystem::path& file, std::uint64_t limit);

/// How a write ends up on the disk: `lasting` waits until it would survive a power cut.
enum class Sync { lasting, fast };

/// Writes a file whole or not at all: a temporary beside it, (fsync,) rename, (fsync of the folder). Throws
/// Error in plain words (disk full, no permission); then the old file is as it was.
void write_whole(const std::filesystem::path& file, std::string_view bytes, Sync sync = Sync::lasting);

/// Takes the next bytes of a file that is being written. Throws Error.
using Put = std::function<void(std::string_view)>;

/// As write_whole, for content that comes piece by piece: `fill` hands it over. `modified` is the file's
/// time.
void write_pieces(const std::filesystem::path& file, const std::function<void(const Put&)>& fill,
                  std::optional<Moment> modified = std::nullopt);

/// Hands over a plain file's content block by block. False only when `progress` stopped it. Throws Error.
bool read_pieces(const std::filesystem::path& file, const Put& use, const Progress& progress = {});

/// Gives a file or folder another name in one step, where nothing of that name is. False: there is. Throws
/// Error.
[[nodiscard]] bool rename_to_free(const std::filesystem::path& from, const std::filesystem::path& to);

/// What a copy was found to be.
struct Copied {
    std::string sha256;
    std::uint64_t size = 0;
    Moment modified{};
};

/// Copies a plain file to a new name in `folder` that `free_name(sha256)` chooses once the content is known;
/// an empty name means that the content need not be kept. Whole or not at all, with its time of change.
/// Absent only when `progress` stopped it. Throws Error.
[[nodiscard]] std::optional<Copied> copy_in(const std::filesystem::path& from,
                                            const std::filesystem::path& folder,
                                            const std::function<std::string(const Copied&)>& free_name,
                                            const Progress& progress = {});

/// Size and time of a plain file without following a link; absent if it is not there or not one.
struct FileFacts {
    std::uint64_t size = 0;
    Moment modified{};
};
[[nodiscard]] std::optional<FileFacts> facts_of(const std::filesystem::path& file);

/// Sets a file's time of change, where the disk keeps one.
void set_modified(const std::filesystem::path& file, Moment modified);

/// Makes the names in a folder last through a power cut. Disks that cannot are passed over.
void sync_folder(const std::filesystem::path& folder);

/// Temporary files that a killed program left behind start with this.
inline constexpr std::string_view temporary_prefix = ".cranknote-tmp-";

/// "the disk is full", "no permission", "the disk cannot be written to"; other errors by the system's words.
[[nodiscard]] std::string trouble_of(int error_number);

}  // namespace cranknote::job
