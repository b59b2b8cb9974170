// Notes onto the disk: whole or not at all, and never over another note unless told.
#pragma once

#include <filesystem>
#include <string_view>

namespace cranknote {

enum class Existing { keep, replace };

/// Throws Error (wrong call) where a file (or a link) of that name is there and `existing` says keep.
void check_free(const std::filesystem::path& file, Existing existing);

/// Writes `bytes` to `file`. With Existing::keep, a file of that name stays as it is and Error (wrong call)
/// says so. A crash or a full disk leaves either the old file or the new one, never a part. Throws Error.
void save_note(const std::filesystem::path& file, std::string_view bytes, Existing existing = Existing::keep);

}  // namespace cranknote
