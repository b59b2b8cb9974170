#include <system_error>
#include <utility>

#include "job/history.hpp"
#include "job/pack.hpp"
#include "job/verify.hpp"
#include "units/error.hpp"

namespace cranknote::job {
namespace fs = std::filesystem;
namespace {

/// A folder beside the wanted one, gone at the end unless it got its name.
class Beside {
  public:
    explicit Beside(const fs::path& wanted)
        : wanted_(wanted), path_(wanted.parent_path() / (std::string(temporary_prefix) + random_hex(8))) {
        std::error_code ec;
        if (!fs::create_directory(path_, ec))
            throw Error(trouble_of(ec.value()), wanted.parent_path().string(), "");
    }
    ~Beside() {
        std::error_code ec;
        if (!placed_) fs::remove_all(path_, ec);
    }
    Beside(const Beside&) = delete;
    Beside& operator=(const Beside&) = delete;
    [[nodiscard]] const fs::path& path() const { return path_; }
    [[nodiscard]] bool place() {
        placed_ = rename_to_free(path_, wanted_);
        if (placed_) sync_folder(wanted_.parent_path());
        return placed_;
    }

  private:
    fs::path wanted_, path_;
    bool placed_ = false;
};

void make_folders(const fs::path& folder) {
    std::error_code ec;
    fs::create_directories(folder, ec);
    if (ec) throw Error(trouble_of(ec.value()), folder.string(), "");
}

/// Every file of the pack below `folder`; false if it was stopped.
bool take_out(PackReader& reader, const fs::path& folder, int& files, const Progress& progress) {
    while (const auto next = reader.next()) {
        const fs::path place = inside(folder, next->name);
        make_folders(place.parent_path());
        bool stopped = false;
        const auto fill = [&](const Put& put) {
            for (auto piece = reader.read(); !piece.empty() && !stopped; piece = reader.read()) {
                put(piece);
                stopped = progress && !progress(reader.share());
            }
        };
        write_pieces(place, fill, next->modified);
        if (stopped) return false;
        ++files;
    }
    return true;
}

/// Is what was unpacked a whole job? What takes evidence away is refused, the rest is said.
Unpacked judged(const fs::path& pack, const fs::path& folder, int files) {
    if (!facts_of(folder / "job.json"))
        throw Error("there is no job in it", pack.string(), "nothing was unpacked");
    Job job;
    try {
        job = load_version(Places{folder}, folder / "job.json").job;
    } catch (const Error& e) {
        throw Error("its job.json cannot be read: " + e.trouble, pack.string(), "nothing was unpacked");
    }
    Unpacked unpacked{files, 0, {}};
    const auto found = verify(folder);
    for (const auto& t : found->troubles) {
        const auto text = t.file + ": " + t.text;
        if (t.fault != Fault::stray && t.fault != Fault::damaged)
            throw Error("\"" + t.file + "\": " + t.text, pack.string(),
                        "nothing was unpacked; have it sent again");
        unpacked.remarks.push_back(text);
    }
    unpacked.originals = found->files;
    // Not every program keeps a file's time in a .zip; the job knows it.
    for (const auto& r : job.recordings) set_modified(inside(folder, r.file), r.modified);
    return unpacked;
}

}  // namespace

std::optional<Unpacked> unpack(const fs::path& file, const fs::path& typed, const Progress& progress,
                               const PackLimits& limits) {
    fs::path folder = fs::absolute(typed).lexically_normal();
    if (!folder.has_filename()) folder = folder.parent_path();
    const auto taken = [&] {
        return Error("is there already", typed.string(), "choose another name", Error::Kind::wrong_call);
    };
    std::error_code ec;
    if (fs::exists(fs::symlink_status(folder, ec))) throw taken();
    if (!fs::is_directory(folder.parent_path(), ec))
        throw Error("there is no such folder", folder.parent_path().string(), "make it first");
    PackReader reader(file, limits);
    Beside beside(folder);
    for (const char* name : {"recordings", "notes", "cache", "history"}) make_folders(beside.path() / name);
    int files = 0;
    if (!take_out(reader, beside.path(), files, progress)) return std::nullopt;
    auto unpacked = judged(file, beside.path(), files);
    if (!beside.place()) throw taken();
    return unpacked;
}

}  // namespace cranknote::job
