// A packed job from a stranger, file by file. Everything that a hand-made archive may try is refused here.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "job/moment.hpp"

namespace cranknote::job {

/// What a pack may grow to. Ours stores recordings as they are, so that it grows by its texts only.
struct PackLimits {
    std::uint64_t most_bytes = std::uint64_t{64} << 30;  ///< unpacked: some 180 hours of WAV
    std::uint64_t most_text = 16u << 20;   ///< job.json, layouts, versions: some 20 000 recordings
    std::uint64_t free_bytes = 64u << 20;  ///< up to here the ratio does not count
    std::uint64_t most_ratio = 20;  ///< unpacked over packed (deflate reaches 1032, a job's texts some 10)
    std::size_t most_files = 20'000;
};

/// One file of a pack.
struct PackedFile {
    std::string name;  ///< inside the job's folder: "recordings/a.wav"
    std::optional<Moment> modified;
};

/// Reads a pack from front to end. Throws Error naming the pack and the name in it: no .zip; a name that
/// leads out, is absolute, holds control characters or backslashes, or is no file of a job; a link or a
/// device; two files whose names differ at most in capitals or in how letters are composed; encryption; a way
/// of packing that is neither stored nor deflated; more than the limits; damage.
class PackReader {
  public:
    explicit PackReader(const std::filesystem::path& file, const PackLimits& limits = {});
    /// The same for bytes in memory, which must outlive it; `name` stands for the path.
    PackReader(std::span<const std::byte> bytes, const std::string& name, const PackLimits& limits = {});
    PackReader(PackReader&&) noexcept;
    PackReader& operator=(PackReader&&) noexcept;
    ~PackReader();

    /// The next file; absent at the end. Folders, cache/ and job.lock are passed over.
    [[nodiscard]] std::optional<PackedFile> next();
    /// The next piece of that file, empty at its end; valid until the next call.
    [[nodiscard]] std::string_view read();
    /// How far it is in the packed bytes, 0 to 1.
    [[nodiscard]] double share() const;

  private:
    struct Inner;
    std::unique_ptr<Inner> inner_;
};

/// Is this a file that a job's folder holds: job.json, layout.toml, recordings/..., notes/..., a version in
/// history/?
[[nodiscard]] bool is_name_of_job(std::string_view name);
/// May be deleted without loss: cache/..., job.lock.
[[nodiscard]] bool is_passing_name(std::string_view name);

}  // namespace cranknote::job
