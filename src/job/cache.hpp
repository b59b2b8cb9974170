// Bytes by content and settings: what can be computed again need not be. Deleting all of it loses nothing.
#pragma once

#include <cstdint>
#include <filesystem>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>

namespace cranknote::job {

/// A key from everything that a result follows from: the recording's SHA-256, settings, the layout's text.
/// Parts are kept apart: {"ab", "c"} and {"a", "bc"} are two keys. 64 hex digits.
[[nodiscard]] std::string cache_key(std::initializer_list<std::string_view> parts);

/// Results in a folder, one file each, named by their key. Several programs may use one folder at a time.
/// Nothing here throws: a cache that cannot be read or written (full disk, no rights) is an empty one.
class Cache {
  public:
    /// `folder` is made when it is first needed. An empty path is a cache that keeps nothing.
    explicit Cache(std::filesystem::path folder, std::uint64_t most_bytes = std::uint64_t{1} << 30);

    /// What was put under `key`; absent if there is nothing or it is damaged.
    [[nodiscard]] std::optional<std::string> get(std::string_view key) const;
    /// Keeps bytes under `key`, replacing what was there. False: it could not.
    bool put(std::string_view key, std::string_view bytes) const;
    /// Removes what was longest not written until at most `most_bytes` are left.
    void trim() const;

  private:
    std::filesystem::path folder_;
    std::uint64_t most_bytes_;

    [[nodiscard]] std::filesystem::path file_of(std::string_view key) const;
};

}  // namespace cranknote::job
