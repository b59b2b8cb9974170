#include "job/add.hpp"

#include <algorithm>

#include "figure/utf8.hpp"
#include "units/error.hpp"

namespace cranknote::job {
namespace fs = std::filesystem;
namespace {

constexpr std::size_t longest_name = 255;  // bytes, on the file systems of our time
constexpr std::size_t longest_ending = 16;

/// Cut to at most `most` bytes, never inside a character.
std::string cut(std::string text, std::size_t most) {
    if (text.size() <= most) return text;
    while (most > 0 && (static_cast<unsigned char>(text[most]) & 0xC0) == 0x80) --most;
    text.resize(most);
    return text;
}

/// "fan.wav" -> "fan", ".wav"; what looks too long for an ending is none.
std::pair<std::string, std::string> split_ending(const std::string& name) {
    const auto dot = name.rfind('.');
    if (dot == name.npos || dot == 0 || name.size() - dot > longest_ending) return {name, ""};
    return {name.substr(0, dot), name.substr(dot)};
}

/// A name in recordings/ for new content; empty where the content is there already.
std::string name_for(const fs::path& recordings, const Job& job, const Copied& copied,
                     const std::string& wanted, std::string& chosen) {
    for (const auto& r : job.recordings) {
        const auto path = recordings.parent_path() / r.file;
        if (r.sha256 == copied.sha256 && facts_of(path) && sha256_of_file(path) == copied.sha256) {
            chosen = fs::path(r.file).filename().string();
            return "";
        }
    }
    for (int number = 1;; ++number) {
        chosen = number == 1 ? wanted : numbered_name(wanted, number);
        std::error_code ec;
        if (!fs::exists(fs::symlink_status(recordings / chosen, ec))) return chosen;
        // Left by an undone adding: the same content need not be kept twice.
        const auto facts = facts_of(recordings / chosen);
        if (facts && facts->size == copied.size && sha256_of_file(recordings / chosen) == copied.sha256)
            return "";
    }
}

}  // namespace

std::string safe_file_name(const std::string& name) {
    auto points = code_points(name);
    for (auto& point : points)
        if (point < 0x20 || (point >= 0x7F && point < 0xA0) || point == U'\\' || point == U'/' ||
            point == 0xFFFD)
            point = U'_';
    const auto [stem, ending] = split_ending(utf8_of(points));
    const std::string safe = cut(stem, longest_name - ending.size()) + ending;
    return safe.empty() || safe == "." || safe == ".." ? "recording" : safe;
}

std::string numbered_name(const std::string& name, int number) {
    const auto [stem, ending] = split_ending(name);
    const std::string end = " (" + std::to_string(number) + ")" + ending;
    return cut(stem, longest_name - end.size()) + end;
}

std::optional<Added> add_file(Folder& folder, const Layout& layout, const fs::path& file, Addition addition,
                              const Progress& progress) {
    Job trial = folder.job();
    (void)enter_recording(trial, layout, addition);  // wrong words are said before a gigabyte is copied
    const fs::path recordings = folder.inside("recordings");
    const std::string wanted = safe_file_name(file.filename().string());
    std::string chosen;
    const auto copied = copy_in(
        file, recordings,
        [&](const Copied& c) { return name_for(recordings, folder.job(), c, wanted, chosen); }, progress);
    if (!copied) return std::nullopt;
    Recording& r = addition.recording;
    r.file = "recordings/" + chosen;
    r.sha256 = copied->sha256;
    r.size = copied->size;
    r.modified = facts_of(recordings / chosen).value_or(FileFacts{copied->size, copied->modified}).modified;
    Job next = folder.job();
    Added added{enter_recording(next, layout, std::move(addition)), {}};
    added.recording = next.recordings.back();
    folder.save(std::move(next), "added \"" + chosen + "\" to state \"" + added.recording.state + "\" (" +
                                     added.recording.id + ")");
    return added;
}

}  // namespace cranknote::job
