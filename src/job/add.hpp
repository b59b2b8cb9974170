// A sound file into a job: its bytes copied untouched, its words entered, all of it or nothing.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "job/disk.hpp"
#include "job/edit.hpp"
#include "job/folder.hpp"

namespace cranknote::job {

/// What was added.
struct Added {
    Understood understood;
    Recording recording;
};

/// Copies `file` into recordings/ under its own name (another of that name gets a number; the same content is
/// kept once) and saves the job with it. Wrong words are noticed before anything is copied. Absent only when
/// `progress` stopped it. Throws Error as enter_recording and Folder::save do.
std::optional<Added> add_file(Folder& folder, const Layout& layout, const std::filesystem::path& file,
                              Addition addition, const Progress& progress = {});

/// A file name that every disk, JSON and terminal takes: broken UTF-8, control characters and backslashes
/// become "_"; at most 255 bytes, the ending kept.
[[nodiscard]] std::string safe_file_name(const std::string& name);

/// "fan.wav", 2 -> "fan (2).wav", at most 255 bytes.
[[nodiscard]] std::string numbered_name(const std::string& name, int number);

}  // namespace cranknote::job
