#include "job/verify.hpp"

#include <algorithm>
#include <chrono>
#include <map>
#include <set>

#include "job/folder.hpp"
#include "job/history.hpp"
#include "units/error.hpp"

namespace cranknote::job {
namespace fs = std::filesystem;
namespace {

// Memory cards and zip files keep times to two seconds (FAT, zip's DOS time).
constexpr std::chrono::seconds time_grain{2};

/// Each file once, though several recordings may be stretches of it.
std::map<std::string, const Recording*> files_of(const Job& job) {
    std::map<std::string, const Recording*> files;
    for (const auto& r : job.recordings) files.emplace(r.file, &r);
    return files;
}

std::optional<Trouble> glance_at(const fs::path& folder, const Recording& r) {
    fs::path file;
    try {
        file = inside(folder, r.file);
    } catch (const Error& e) {
        return Trouble{Fault::unreadable, r.file, e.trouble};
    }
    const auto facts = facts_of(file);
    if (!facts) return Trouble{Fault::missing, r.file, "the original is not there any more"};
    if (facts->size != r.size)
        return Trouble{Fault::changed, r.file, "the original was changed: its length is not what was added"};
    if (std::chrono::abs(facts->modified - r.modified) > time_grain)
        return Trouble{Fault::touched, r.file,
                       "the file's time is not what it was; cranknote verify tells more"};
    return std::nullopt;
}

/// The fault of one original by its content; absent in the outer optional: stopped.
std::optional<std::optional<Trouble>> check_content(const fs::path& folder, const Recording& r,
                                                    const Progress& progress) {
    const auto seen = glance_at(folder, r);
    if (seen && seen->fault != Fault::touched) return seen;
    try {
        const auto sha = sha256_of_file(inside(folder, r.file), progress);
        if (!sha) return std::nullopt;
        if (*sha == r.sha256) return std::optional<Trouble>{};
        return Trouble{Fault::changed, r.file, "the original was changed: its content is not what was added"};
    } catch (const Error& e) {
        return Trouble{Fault::unreadable, r.file, "the original cannot be read: " + e.trouble};
    }
}

void add_strays(const fs::path& folder, const Job& job, std::vector<Trouble>& troubles) {
    const auto files = files_of(job);
    std::error_code ec;
    std::set<std::string> strays;
    for (const auto& entry : fs::directory_iterator(folder / "recordings", ec)) {
        const std::string name = "recordings/" + entry.path().filename().string();
        if (!files.contains(name)) strays.insert(name);
    }
    for (const auto& name : strays)
        troubles.push_back(
            {Fault::stray, name, "no recording of the job names this file (undone, or put there)"});
}

void check_versions(const Places& places, Verified& v) {
    for (const int revision : revisions(places, "job")) {
        const auto file = places.version(revision);
        try {
            (void)load_version(places, file);
            ++v.versions;
        } catch (const Error& e) {
            v.troubles.push_back({Fault::damaged, "history/" + file.filename().string(), e.trouble});
        }
    }
}

}  // namespace

std::vector<Trouble> glance(const fs::path& folder, const Job& job) {
    std::vector<Trouble> troubles;
    for (const auto& [name, recording] : files_of(job))
        if (auto trouble = glance_at(folder, *recording)) troubles.push_back(*std::move(trouble));
    return troubles;
}

std::optional<Verified> verify(const fs::path& folder, const Progress& progress) {
    const Places places{folder};
    const Opened opened = load_newest_good(places);
    const Job& job = opened.loaded.job;
    Verified v;
    if (!opened.damaged.empty())
        v.troubles.push_back({Fault::damaged, "job.json", opened.damaged + "; an earlier version is good"});
    const auto files = files_of(job);
    double all = 0, done = 0;
    for (const auto& [name, r] : files) all += static_cast<double>(r->size);
    for (const auto& [name, r] : files) {
        const double size = static_cast<double>(r->size);
        const auto fault = check_content(folder, *r, [&](double share) {
            return !progress || progress(all > 0 ? (done + share * size) / all : 1.0);
        });
        if (!fault) return std::nullopt;
        if (*fault) v.troubles.push_back(**fault);
        ++v.files;
        done += size;
    }
    check_versions(places, v);
    v.whole = v.troubles.empty();
    add_strays(folder, job, v.troubles);
    return v;
}

}  // namespace cranknote::job
