#include "job/history.hpp"

#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <charconv>
#include <cstdio>
#include <set>

#include "job/disk.hpp"
#include "job/folder.hpp"
#include "units/error.hpp"

namespace cranknote::job {
namespace fs = std::filesystem;
namespace {

constexpr std::uint64_t longest_job = 256u << 20;    // some 300 000 recordings
constexpr std::uint64_t longest_layout = 16u << 20;  // written by hand in ten minutes

std::string numbered(std::string_view kind, int revision) {
    std::array<char, 32> digits{};
    std::snprintf(digits.data(), digits.size(), ".%06d.json", revision);
    return std::string(kind) + digits.data();
}

/// "job.000012.json" -> 12
std::optional<int> revision_in(std::string_view name, std::string_view kind) {
    constexpr std::string_view end = ".json";
    if (!name.starts_with(kind) || !name.ends_with(end)) return std::nullopt;
    name.remove_prefix(kind.size());
    if (name.size() <= 1 + end.size() || name.front() != '.') return std::nullopt;
    const char* last = name.data() + name.size() - end.size();
    int revision = 0;
    const auto [stop, ec] = std::from_chars(name.data() + 1, last, revision);
    if (ec != std::errc{} || stop != last || revision < 0) return std::nullopt;
    return revision;
}

std::optional<std::string> layout_text(const fs::path& file) {
    if (!facts_of(file)) return std::nullopt;
    return read_file(file, longest_layout);
}

/// Finds the layout that belongs to a version. layout.toml may have been edited by hand (then it counts), or
/// be of a save that did not come to its end (then both texts are in history/, and the version's own counts).
void find_layout(const Places& places, const std::string& wanted, Loaded& loaded) {
    const auto present = layout_text(places.layout());
    const std::string present_sha = present ? sha256_of(*present) : "";
    const auto kept = present_sha == wanted ? present : layout_text(places.kept_layout(wanted));
    const bool present_is_ours = present && facts_of(places.kept_layout(present_sha)).has_value();
    if (present && (present_sha == wanted || !kept || !present_is_ours)) {
        loaded.job.layout = present;
        if (present_sha != wanted) loaded.remarks.emplace_back("layout.toml was changed by hand; it is used");
        return;
    }
    loaded.job.layout = kept;
    loaded.layout_missing = !kept;
    if (!kept)
        loaded.remarks.emplace_back("layout.toml is missing");
    else if (!present)
        loaded.remarks.emplace_back("layout.toml was missing; the copy in history/ is used");
}

/// job.json is there, but this user may not read it: that is not damage.
void refuse_unreadable(const fs::path& file) {
    if (::access(file.c_str(), R_OK) != 0 && errno != ENOENT)
        throw Error(trouble_of(errno), file.string(), "");
}

std::set<std::string> layouts_needed(const Places& places, const std::vector<int>& kept) {
    std::set<std::string> needed;
    const auto note = [&](const fs::path& file) {
        try {
            needed.insert(parse_job(read_file(file, longest_job), file.string()).layout_sha256);
        } catch (const Error&) {  // a damaged version needs nothing
        }
    };
    note(places.job());
    for (const int revision : kept) note(places.version(revision));
    for (const int revision : revisions(places, "undone")) note(places.undone(revision));
    return needed;
}

void prune_layouts(const Places& places, const std::vector<int>& kept) {
    std::vector<fs::path> layouts;
    std::error_code ec;
    for (const auto& entry : fs::directory_iterator(places.history(), ec))
        if (entry.path().filename().string().starts_with("layout.")) layouts.push_back(entry.path());
    if (layouts.empty()) return;
    const auto needed = layouts_needed(places, kept);
    for (const auto& file : layouts) {
        const bool wanted = std::ranges::any_of(
            needed, [&](const std::string& sha) { return !sha.empty() && places.kept_layout(sha) == file; });
        if (!wanted) fs::remove(file, ec);
    }
}

}  // namespace

fs::path Places::version(int revision) const { return history() / numbered("job", revision); }
fs::path Places::undone(int revision) const { return history() / numbered("undone", revision); }
fs::path Places::kept_layout(const std::string& sha256) const {
    return history() / ("layout." + sha256.substr(0, 16) + ".toml");
}

std::vector<int> revisions(const Places& places, std::string_view kind) {
    std::vector<int> found;
    std::error_code ec;
    for (const auto& entry : fs::directory_iterator(places.history(), ec))
        if (const auto revision = revision_in(entry.path().filename().string(), kind))
            found.push_back(*revision);
    std::ranges::sort(found);
    return found;
}

void keep_as(const fs::path& file, const fs::path& to) {
    const fs::path temporary = to.parent_path() / (std::string(temporary_prefix) + random_hex(8));
    if (::link(file.c_str(), temporary.c_str()) != 0) {  // a memory card's file system knows no links
        write_whole(to, read_file(file, longest_job));
        return;
    }
    const bool placed = ::rename(temporary.c_str(), to.c_str()) == 0;
    const int error_number = errno;
    ::unlink(temporary.c_str());  // still there where both were the same file already
    if (!placed) throw Error(trouble_of(error_number), to.string(), "");
}

void prune_history(const Places& places, int revision) {
    auto kept = revisions(places, "job");
    std::error_code ec;
    // What is not before the present version is of a branch that was left.
    const auto last = std::ranges::lower_bound(kept, revision);
    const auto first = last - std::min<std::ptrdiff_t>(last - kept.begin(), versions_kept);
    for (auto r = kept.begin(); r != kept.end(); ++r)
        if (r < first || r >= last) fs::remove(places.version(*r), ec);
    kept = std::vector<int>(first, last);
    prune_layouts(places, kept);
}

Loaded load_version(const Places& places, const fs::path& file) {
    ParsedJob parsed = parse_job(read_file(file, longest_job), file.string());
    Loaded loaded{std::move(parsed.job), parsed.schema, {}, false};
    if (!parsed.layout_sha256.empty()) find_layout(places, parsed.layout_sha256, loaded);
    return loaded;
}

Opened load_newest_good(const Places& places) {
    refuse_unreadable(places.job());
    std::string damaged;
    try {
        return {load_version(places, places.job()), ""};
    } catch (const Error& e) {
        damaged = e.trouble;
    }
    auto kept = revisions(places, "job");
    if (kept.empty() && !facts_of(places.job()))
        throw Error("there is no job here", places.folder.string(), "cranknote new makes one");
    for (; !kept.empty(); kept.pop_back()) {
        try {
            return {load_version(places, places.version(kept.back())), damaged};
        } catch (const Error&) {  // older ones may still be good
        }
    }
    throw Error("job.json is damaged (" + damaged + ") and no good earlier version is in history/",
                places.job().string(), "the recordings are untouched in recordings/");
}

}  // namespace cranknote::job
