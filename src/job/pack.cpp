#include "job/pack.hpp"

#include <archive.h>
#include <archive_entry.h>

#include <algorithm>
#include <exception>
#include <memory>
#include <system_error>
#include <utility>

#include "job/history.hpp"
#include "job/json.hpp"
#include "job/pack_names.hpp"
#include "job/utf8_locale.hpp"
#include "job/without_owner.hpp"
#include "units/error.hpp"

namespace cranknote::job {
namespace fs = std::filesystem;
namespace {

/// What goes into a pack: text that is there already, or a file.
struct Leaf {
    std::string name;  ///< in the job's folder
    std::string text;
    fs::path file;       ///< empty: `text` it is
    std::string sha256;  ///< of an original: what its content must be
    std::uint64_t size = 0;
    Moment modified{};
};

/// Thrown to leave a write that was stopped.
struct WasStopped {};

class ZipWriter {
  public:
    explicit ZipWriter(const Put& put) : put_(put), zip_(archive_write_new(), &archive_write_free) {
        if (!zip_) throw std::bad_alloc();
        must(archive_write_set_format_zip(zip_.get()));
        must(archive_write_set_format_option(zip_.get(), "zip", "hdrcharset", "UTF-8"));
        must(archive_write_set_bytes_per_block(zip_.get(), 1 << 16));
        must(archive_write_set_bytes_in_last_block(zip_.get(), 1));
        must(archive_write_open(zip_.get(), this, nullptr, &ZipWriter::take, nullptr));
    }
    void begin(const std::string& name, std::uint64_t size, Moment modified, bool deflate) {
        // Text is deflated; sound is not worth it, and stored it never looks like a bomb.
        must(deflate ? archive_write_zip_set_compression_deflate(zip_.get())
                     : archive_write_zip_set_compression_store(zip_.get()));
        const std::unique_ptr<archive_entry, decltype(&archive_entry_free)> entry(archive_entry_new(),
                                                                                  &archive_entry_free);
        if (!entry) throw std::bad_alloc();
        archive_entry_set_pathname(entry.get(), name.c_str());
        archive_entry_set_filetype(entry.get(), AE_IFREG);
        archive_entry_set_perm(entry.get(), 0644);
        archive_entry_set_size(entry.get(), static_cast<la_int64_t>(size));
        archive_entry_set_mtime(entry.get(), modified.time_since_epoch().count(), 0);
        must(archive_write_header(zip_.get(), entry.get()));
    }
    void write(std::string_view bytes) {
        if (archive_write_data(zip_.get(), bytes.data(), bytes.size()) !=
            static_cast<la_ssize_t>(bytes.size()))
            fail();
    }
    void finish() { must(archive_write_close(zip_.get())); }

  private:
    const Put& put_;
    std::exception_ptr thrown_;
    std::unique_ptr<archive, decltype(&archive_write_free)> zip_;

    /// Exceptions may not pass through the library: kept, and thrown again behind it.
    static la_ssize_t take(archive*, void* self, const void* bytes, std::size_t count) {
        auto& writer = *static_cast<ZipWriter*>(self);
        if (writer.thrown_) return -1;
        try {
            writer.put_({static_cast<const char*>(bytes), count});
            return static_cast<la_ssize_t>(count);
        } catch (...) {
            writer.thrown_ = std::current_exception();
            return -1;
        }
    }
    void must(int code) {
        if (code != ARCHIVE_OK || thrown_) fail();
    }
    [[noreturn]] void fail() {
        if (thrown_) std::rethrow_exception(std::exchange(thrown_, nullptr));
        const char* why = archive_error_string(zip_.get());
        throw Error(why == nullptr ? "the pack cannot be written" : why, "", "");
    }
};

Leaf text_leaf(std::string name, std::string text) {
    const auto size = text.size();
    return {std::move(name), std::move(text), {}, "", size, now()};
}

std::optional<Leaf> file_leaf(const fs::path& folder, const std::string& name) {
    const auto facts = facts_of(folder / name);
    if (!facts) return std::nullopt;  // a link or a pipe that somebody put there
    return Leaf{name, "", inside(folder, name), "", facts->size, facts->modified};
}

/// Every plain file below one of the job's folders, in order of names.
void add_files_below(const fs::path& folder, const char* below, std::vector<Leaf>& leaves) {
    std::vector<std::string> names;
    std::error_code ec;
    for (const auto& entry : fs::recursive_directory_iterator(folder / below, ec)) {
        const auto name = entry.path().lexically_relative(folder).generic_string();
        if (!is_name_of_job(name) || entry.path().filename().string().starts_with(temporary_prefix)) continue;
        names.push_back(name);
    }
    std::ranges::sort(names);
    for (const auto& name : names)
        if (auto leaf = file_leaf(folder, name)) leaves.push_back(*std::move(leaf));
}

/// job.json as it is on the disk; where it is damaged, what was opened instead.
std::string text_of_job(const Folder& folder) {
    try {
        auto text = read_file(folder.path() / "job.json", PackLimits{}.most_text);
        const auto parsed = parse_job(text, "job.json");
        if (parsed.job.revision == folder.job().revision) return text;
    } catch (const Error&) {  // damaged: said on opening
    }
    return to_json(folder.job());
}

void add_originals(const fs::path& folder, const Job& job,
                   const std::map<std::string, std::string>& new_names, std::vector<Leaf>& leaves) {
    std::map<std::string, Leaf> originals;
    for (const auto& r : job.recordings) {
        auto leaf = file_leaf(folder, r.file);
        if (!leaf)
            throw Error("the original of " + r.id + " is not there any more", (folder / r.file).string(),
                        "cranknote verify tells all; half a job is not packed");
        leaf->sha256 = r.sha256;
        if (const auto named = new_names.find(r.file); named != new_names.end()) leaf->name = named->second;
        originals.emplace(leaf->name, *std::move(leaf));
    }
    for (auto& [name, leaf] : originals) leaves.push_back(std::move(leaf));
}

std::vector<Leaf> all_of(const Folder& folder) {
    std::vector<Leaf> leaves{text_leaf("job.json", text_of_job(folder))};
    if (folder.job().layout) leaves.push_back(text_leaf("layout.toml", *folder.job().layout));
    add_originals(folder.path(), folder.job(), {}, leaves);
    std::vector<Leaf> others;
    for (const char* below : {"recordings", "notes", "history"})
        add_files_below(folder.path(), below, others);
    for (auto& other : others)
        if (std::ranges::find(leaves, other.name, &Leaf::name) == leaves.end())
            leaves.push_back(std::move(other));
    return leaves;
}

std::vector<Leaf> all_without_owner(const Folder& folder) {
    const auto anonymous = without_owner(folder.job());
    const auto text = to_json(anonymous.job);
    (void)parse_job(text, "job.json");  // two states that only a name told apart
    std::vector<Leaf> leaves{text_leaf("job.json", text)};
    if (anonymous.job.layout) leaves.push_back(text_leaf("layout.toml", *anonymous.job.layout));
    add_originals(folder.path(), folder.job(), anonymous.files, leaves);
    return leaves;
}

/// What unpacking would refuse is not packed: this file's name is said while it can still be changed.
void check_names(const Folder& folder, const std::vector<Leaf>& leaves) {
    SeenNames seen;
    for (const auto& leaf : leaves) {
        const auto where = (folder.path() / leaf.name).string();
        if (!is_safe_name(leaf.name))
            throw Error("this name is not UTF-8, or holds what no name may", where, "rename the file");
        if (!seen.add_file(leaf.name))
            throw Error("another file's name differs from this one only in capitals", where,
                        "rename one of them: not every disk keeps both");
    }
}

/// The folder in the pack: the job's own name, if every machine takes it.
std::string home_of(const Folder& folder) {
    const fs::path path = fs::absolute(folder.path()).lexically_normal();
    std::string name = (path.has_filename() ? path : path.parent_path()).filename().string();
    if (!is_safe_name(name)) name = "job";
    if (is_name_of_job(name) || is_name_of_job(name + "/x") || is_passing_name(name) ||
        is_passing_name(name + "/") || name == "history")
        name += " job";
    return name;
}

void write_leaf(ZipWriter& zip, const std::string& home, const Leaf& leaf, const Progress& said) {
    zip.begin(home + "/" + leaf.name, leaf.size, leaf.modified,
              leaf.file.empty() || leaf.name.starts_with("history/"));
    if (leaf.file.empty()) {
        zip.write(leaf.text);
        return;
    }
    std::uint64_t written = 0;
    const auto use = [&](std::string_view bytes) {
        written += bytes.size();
        if (written <= leaf.size) zip.write(bytes);
    };
    if (!read_pieces(leaf.file, use, said)) throw WasStopped{};
    if (written != leaf.size)
        throw Error("the file changed while it was packed", leaf.file.string(), "try again");
}

void check_original(const Leaf& leaf) {
    if (!leaf.sha256.empty() && sha256_of_file(leaf.file) != leaf.sha256)
        throw Error("the original was changed: its content is not what was added", leaf.file.string(),
                    "cranknote verify tells all; it is not packed as evidence");
}

}  // namespace

std::optional<Packed> pack(const Folder& folder, const fs::path& file, const Packing& how,
                           const Progress& progress) {
    std::error_code ec;
    const auto taken = [&] {
        return Error("is there already", file.string(), "choose another name, or say --replace",
                     Error::Kind::wrong_call);
    };
    if (!how.replace && fs::exists(fs::symlink_status(file, ec))) throw taken();
    const auto leaves = how.without_owner ? all_without_owner(folder) : all_of(folder);
    check_names(folder, leaves);
    Packed packed;
    for (const auto& leaf : leaves) packed.bytes += leaf.size;
    const auto home = how.without_owner ? "job" : home_of(folder);
    const auto fill = [&](const Put& put) {
        const Utf8Locale names_are_utf8;
        ZipWriter zip(put);
        std::uint64_t done = 0;
        for (const auto& leaf : leaves) {
            check_original(leaf);
            write_leaf(zip, home, leaf, [&](double share) {
                const double all = static_cast<double>(packed.bytes);
                return !progress ||
                       progress((static_cast<double>(done) + share * static_cast<double>(leaf.size)) / all);
            });
            done += leaf.size;
            ++packed.files;
        }
        zip.finish();
    };
    const auto beside = file.parent_path() / (std::string(temporary_prefix) + random_hex(8));
    try {
        write_pieces(how.replace ? file : beside, fill);
        if (!how.replace && !rename_to_free(beside, file)) throw taken();
        return packed;
    } catch (const WasStopped&) {
        return std::nullopt;
    } catch (...) {
        fs::remove(beside, ec);
        throw;
    }
}

}  // namespace cranknote::job
