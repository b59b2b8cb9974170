#include "job/folder.hpp"

#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>

#include "job/disk.hpp"
#include "job/history.hpp"
#include "job/lock.hpp"
#include "units/error.hpp"

namespace cranknote::job {
namespace fs = std::filesystem;
namespace {

constexpr std::array<const char*, 4> subfolders{"recordings", "notes", "cache", "history"};

/// What tells job.json from the one that was read: another program's save or a hand's edit changes it.
struct Mark {
    dev_t device = 0;
    ino_t number = 0;
    off_t size = -1;
    timespec modified{};

    static Mark of(const fs::path& file) {
        struct stat s {};
        if (::lstat(file.c_str(), &s) != 0) return {};
        return {s.st_dev, s.st_ino, s.st_size, s.st_mtim};
    }
    bool operator==(const Mark& o) const {
        return device == o.device && number == o.number && size == o.size &&
               modified.tv_sec == o.modified.tv_sec && modified.tv_nsec == o.modified.tv_nsec;
    }
};

void make_subfolders(const fs::path& folder) {
    for (const char* name : subfolders) {
        std::error_code ec;
        fs::create_directory(inside(folder, name), ec);
        if (ec) throw Error(trouble_of(ec.value()), (folder / name).string(), "");
    }
}

/// Nothing of a person's is in it: at most empty subfolders and the layout that the job starts from.
bool is_bare(const fs::path& folder, const Job& job) {
    for (const auto& entry : fs::directory_iterator(folder)) {
        const auto name = entry.path().filename().string();
        const bool empty_subfolder = entry.is_directory() && fs::is_empty(entry.path()) &&
                                     std::ranges::find(subfolders, name) != subfolders.end();
        const bool same_layout = name == "layout.toml" && job.layout && entry.is_regular_file() &&
                                 read_file(entry.path(), job.layout->size()) == *job.layout;
        if (!empty_subfolder && !same_layout) return false;
    }
    return true;
}

void refuse_taken(const fs::path& path, const Job& job) {
    std::error_code ec;
    const auto status = fs::symlink_status(path, ec);
    if (!fs::exists(status)) return;
    const std::string advice = "choose another name";
    if (fs::exists(path / "job.json", ec))
        throw Error("there is a job here already", path.string(), advice, Error::Kind::wrong_call);
    if (!fs::is_directory(path))
        throw Error("there is a file here already", path.string(), advice, Error::Kind::wrong_call);
    if (!is_bare(path, job))
        throw Error("this folder holds other things", path.string(), advice, Error::Kind::wrong_call);
}

void fill_new(const fs::path& folder, const Job& job) {
    make_subfolders(folder);
    if (job.layout) write_whole(folder / "layout.toml", *job.layout);
    const std::string text = to_json(job);
    (void)parse_job(text, "job.json");  // what cannot be read back is not written
    write_whole(folder / "job.json", text);
}

/// Builds the folder beside its place and moves it there when it is whole.
void make_beside(const fs::path& path, const Job& job) {
    const fs::path parent = path.parent_path();
    const fs::path beside = parent / (std::string(temporary_prefix) + random_hex(8));
    std::error_code ec;
    if (!fs::create_directory(beside, ec)) throw Error(trouble_of(ec.value()), parent.string(), "");
    try {
        fill_new(beside, job);
        if (::rename(beside.c_str(), path.c_str()) != 0) throw Error(trouble_of(errno), path.string(), "");
    } catch (...) {
        fs::remove_all(beside, ec);
        throw;
    }
    sync_folder(parent);
}

/// Leavings of a program that was killed; only called under the lock.
void sweep_temporaries(const fs::path& folder) {
    for (const char* name : {".", "recordings", "notes", "history"}) {
        std::error_code ec;
        for (const auto& entry : fs::directory_iterator(folder / name, ec))
            if (entry.path().filename().string().starts_with(temporary_prefix)) fs::remove(entry.path(), ec);
    }
}

}  // namespace

struct Folder::Inner {
    Places places;
    Job job;
    Mark mark;
    std::string read_only;
    std::string damaged;  ///< what was wrong with job.json, until the next save
    std::vector<std::string> remarks;
    Lock lock;

    void load();
    void lock_for_change(const Opening& opening);
    void require_writable() const;
    void keep_layouts(const Job& next) const;
    void replace_layout(const Job& next) const;
    void keep_present() const;
    void go_to(const fs::path& version, Job next);
};

void Folder::Inner::load() {
    auto [loaded, damage] = load_newest_good(places);
    mark = Mark::of(places.job());
    job = std::move(loaded.job);
    remarks = std::move(loaded.remarks);
    damaged = std::move(damage);
    if (!damaged.empty())
        remarks.insert(remarks.begin(), "job.json is damaged (" + damaged + "); opened the version of " +
                                            (job.saved ? to_local(*job.saved) : "before") + " (\"" +
                                            job.change + "\")");
    if (loaded.schema > schema)
        read_only = "it was written by a newer cranknote; update this one to change it";
    else if (loaded.layout_missing)
        read_only = "layout.toml is missing; put it back to change the job";
}

void Folder::Inner::lock_for_change(const Opening& opening) {
    if (::access(places.folder.c_str(), W_OK) != 0) {
        read_only = trouble_of(errno) + " to change it";
        return;
    }
    auto [outcome, holder, taken] = Lock::take(places.folder / "job.lock", opening.program, opening.wait_s);
    if (outcome == Lock::Outcome::held)
        read_only = "it is open in " + holder;
    else if (outcome == Lock::Outcome::not_writable)
        read_only = holder + " to change it";
    else if (outcome == Lock::Outcome::not_supported)
        remarks.emplace_back("this disk knows no locks: do not change the job with two programs at once");
    lock = std::move(taken);
}

void Folder::Inner::require_writable() const {
    if (!read_only.empty())
        throw Error("the job cannot be changed: " + read_only, places.folder.string(), "");
    if (Mark::of(places.job()) != mark)
        throw Error("job.json was changed by another program while it was open", places.job().string(),
                    "open the job again");
}

/// Before a layout is replaced, the old and the new text are in history/: so an unfinished save is known.
void Folder::Inner::keep_layouts(const Job& next) const {
    for (const auto* text : {&job.layout, &next.layout}) {
        if (!*text) continue;
        const auto kept = places.kept_layout(sha256_of(**text));
        if (!facts_of(kept)) write_whole(kept, **text);
    }
}

void Folder::Inner::replace_layout(const Job& next) const {
    const bool same_on_disk =
        next.layout && facts_of(places.layout()) && read_file(places.layout(), UINT64_MAX) == *next.layout;
    if (!next.layout || same_on_disk) return;
    keep_layouts(next);
    write_whole(places.layout(), *next.layout);
}

void Folder::Inner::keep_present() const {
    if (damaged.empty()) return keep_as(places.job(), places.version(job.revision));
    if (facts_of(places.job()))
        keep_as(places.job(), places.history() / ("damaged." + to_iso(now()) + ".json"));
}

/// Makes another version the present one; its file moves into the place of job.json.
void Folder::Inner::go_to(const fs::path& version, Job next) {
    replace_layout(next);
    if (::rename(version.c_str(), places.job().c_str()) != 0)
        throw Error(trouble_of(errno), version.string(), "");
    sync_folder(places.history());
    sync_folder(places.folder);
    job = std::move(next);
    mark = Mark::of(places.job());
    damaged.clear();
    prune_history(places, job.revision);
}

Folder::Folder(std::unique_ptr<Inner> inner) : inner_(std::move(inner)) {}
Folder::Folder(Folder&&) noexcept = default;
Folder& Folder::operator=(Folder&&) noexcept = default;
Folder::~Folder() = default;

const Job& Folder::job() const { return inner_->job; }
const fs::path& Folder::path() const { return inner_->places.folder; }
const std::string& Folder::read_only() const { return inner_->read_only; }
const std::vector<std::string>& Folder::remarks() const { return inner_->remarks; }
fs::path Folder::inside(std::string_view relative) const { return job::inside(path(), relative); }

Folder Folder::create(const fs::path& typed, Job job, const std::string& program) {
    fs::path path = fs::absolute(typed).lexically_normal();
    if (!path.has_filename()) path = path.parent_path();  // "job/"
    refuse_taken(path, job);
    std::error_code ec;
    if (!fs::is_directory(path.parent_path(), ec))
        throw Error("there is no such folder", path.parent_path().string(), "make it first");
    job.id = random_hex(16);
    job.revision = 1;
    job.saved = now();
    if (job.change.empty()) job.change = "new job";
    // An empty folder that is there may be someone's working directory: it is filled, not replaced.
    if (fs::exists(path, ec))
        fill_new(path, job);
    else
        make_beside(path, job);
    return open(path, {.access = Access::change, .program = program, .wait_s = 0});
}

Folder Folder::open(const fs::path& path, const Opening& opening) {
    std::error_code ec;
    if (!fs::is_directory(path, ec)) {
        const bool there = fs::exists(path, ec);
        throw Error(there ? "a job is a folder, and this is not one" : "there is no such job", path.string(),
                    "");
    }
    auto inner = std::make_unique<Inner>();
    inner->places = Places{path};
    // Lock first, then read: what is read cannot change any more.
    std::string cannot_lock;
    if (opening.access != Access::read) {
        (void)load_newest_good(inner->places);  // no lock file in a folder that is no job
        inner->lock_for_change(opening);
        cannot_lock = inner->read_only;
    } else {
        inner->read_only = "it was opened to read";
    }
    const auto lock_remarks = std::move(inner->remarks);
    inner->load();
    inner->remarks.insert(inner->remarks.end(), lock_remarks.begin(), lock_remarks.end());
    if (opening.access == Access::change && !inner->read_only.empty())
        throw Error("the job cannot be changed: " + inner->read_only, path.string(),
                    cannot_lock.starts_with("it is open in") ? "close it there first" : "");
    if (opening.access != Access::read && inner->read_only.empty()) {
        make_subfolders(path);
        sweep_temporaries(path);
    }
    return Folder(std::move(inner));
}

void Folder::save(Job next, const std::string& change) {
    auto& in = *inner_;
    in.require_writable();
    next.id = in.job.id;
    next.revision = in.job.revision + 1;
    next.saved = now();
    next.change = change;
    const std::string text = to_json(next);
    (void)parse_job(text, "job.json");  // what cannot be read back is not written
    in.keep_present();
    if (next.layout != in.job.layout) in.keep_layouts(next);
    in.replace_layout(next);
    std::error_code ec;
    for (const int revision : revisions(in.places, "undone")) fs::remove(in.places.undone(revision), ec);
    write_whole(in.places.job(), text);
    in.job = std::move(next);
    in.mark = Mark::of(in.places.job());
    in.damaged.clear();
    prune_history(in.places, in.job.revision);
}

std::optional<std::string> Folder::undo() {
    auto& in = *inner_;
    in.require_writable();
    auto kept = revisions(in.places, "job");
    while (!kept.empty() && kept.back() >= in.job.revision) kept.pop_back();
    if (kept.empty()) return std::nullopt;
    auto before = load_version(in.places, in.places.version(kept.back()));
    const std::string undone = in.job.change;
    // A damaged job.json was replaced by its last good version: that is what is undone.
    const bool damaged = !in.damaged.empty();
    keep_as(damaged ? in.places.version(in.job.revision) : in.places.job(),
            in.places.undone(in.job.revision));
    if (damaged) in.keep_present();
    in.go_to(in.places.version(kept.back()), std::move(before.job));
    return undone;
}

std::optional<std::string> Folder::redo() {
    auto& in = *inner_;
    in.require_writable();
    auto undone = revisions(in.places, "undone");
    std::erase_if(undone, [&](int revision) { return revision <= in.job.revision; });
    if (undone.empty()) return std::nullopt;
    auto after = load_version(in.places, in.places.undone(undone.front()));
    in.keep_present();
    in.go_to(in.places.undone(undone.front()), std::move(after.job));
    return in.job.change;
}

}  // namespace cranknote::job
