#include "job/pack_reader.hpp"

#include <archive.h>
#include <archive_entry.h>
#include <fcntl.h>
#include <locale.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <utility>

#include "figure/utf8.hpp"
#include "job/disk.hpp"
#include "job/pack_names.hpp"
#include "job/utf8_locale.hpp"
#include "units/error.hpp"

namespace cranknote::job {
namespace {

constexpr std::size_t read_block = 1 << 16;

/// "folder/job.json" -> "folder", "job.json"
std::pair<std::string, std::string> first_step(const std::string& name) {
    const auto slash = name.find('/');
    if (slash == name.npos) return {"", name};
    return {name.substr(0, slash), name.substr(slash + 1)};
}

bool is_text(std::string_view name) {
    return name == "job.json" || name == "layout.toml" || name.starts_with("history/");
}

}  // namespace

struct PackReader::Inner {
    std::string pack;
    PackLimits limits;
    int fd = -1;
    std::uint64_t packed_bytes = 0, unpacked_bytes = 0, file_bytes = 0;
    std::size_t files = 0;
    archive* zip = nullptr;
    std::optional<std::string> home;  ///< the folder that everything is in; "": none; absent: not known yet
    std::string name;                 ///< of the file that is read
    bool in_file = false;
    SeenNames seen;
    std::string piece;

    Inner(std::string pack_, const PackLimits& limits_) : pack(std::move(pack_)), limits(limits_) {}
    ~Inner() {
        if (zip != nullptr) archive_read_free(zip);
        if (fd >= 0) ::close(fd);
    }
    Inner(const Inner&) = delete;
    Inner& operator=(const Inner&) = delete;

    [[noreturn]] void refuse(const std::string& trouble, const std::string& in = "") const {
        const std::string what = in.empty() ? "" : "\"" + shortened(clean_line(in), 100) + "\": ";
        throw Error(what + trouble, pack, "nothing was unpacked");
    }
    void prepare();
    void open_file(const std::filesystem::path& file);
    void open_memory(std::span<const std::byte> bytes);
    void must_open(int code);
    std::string name_of(archive_entry* entry);
    void check_kind(archive_entry* entry, const std::string& full);
    std::optional<std::string> at_home(const std::string& full, bool is_folder);
    void check_amount() const;
};

void PackReader::Inner::prepare() {
    zip = archive_read_new();
    if (zip == nullptr) throw std::bad_alloc();
    // Only .zip: every further format of the library would be one more way in.
    if (archive_read_support_format_zip(zip) != ARCHIVE_OK) refuse("this build cannot read packs");
    piece.resize(read_block);
}

void PackReader::Inner::must_open(int code) {
    if (code != ARCHIVE_OK) refuse("this is not a packed job (a .zip)");
}

void PackReader::Inner::open_file(const std::filesystem::path& file) {
    fd = ::open(file.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC);
    struct stat s {};
    if (fd < 0 || ::fstat(fd, &s) != 0) throw Error(trouble_of(errno), pack, "");
    if (!S_ISREG(s.st_mode)) throw Error("this is not a plain file", pack, "");
    packed_bytes = static_cast<std::uint64_t>(s.st_size);
    must_open(archive_read_open_fd(zip, fd, read_block));
}

void PackReader::Inner::open_memory(std::span<const std::byte> bytes) {
    packed_bytes = bytes.size();
    must_open(archive_read_open_memory(zip, bytes.data(), bytes.size()));
}

std::string PackReader::Inner::name_of(archive_entry* entry) {
    const char* text = archive_entry_pathname_utf8(entry);
    if (text == nullptr) text = archive_entry_pathname(entry);
    std::string full = text == nullptr ? "" : text;
    if (full.starts_with('/')) refuse("its name is absolute", full);
    while (full.ends_with('/')) full.pop_back();
    if (!is_safe_name(full)) refuse("its name leads out of the job's folder or holds what no name may", full);
    return full;
}

/// Before anything of the content is read or any room is made for it.
void PackReader::Inner::check_kind(archive_entry* entry, const std::string& full) {
    if (archive_entry_symlink(entry) != nullptr || archive_entry_hardlink(entry) != nullptr ||
        archive_entry_filetype(entry) == AE_IFLNK)
        refuse("it is a link", full);
    const auto type = archive_entry_filetype(entry);
    if (type != AE_IFREG && type != AE_IFDIR) refuse("it is not a plain file", full);
    if (archive_entry_is_encrypted(entry) != 0) refuse("it is locked with a password", full);
    // The library says the way of packing in the format's name: "ZIP 2.0 (deflation)". Others may ask for
    // gigabytes to unpack.
    const char* format = archive_format_name(zip);
    const std::string_view way = format == nullptr ? "" : format;
    if (way.find("(deflation)") == way.npos && way.find("(uncompressed)") == way.npos)
        refuse("it is packed in a way that is not read here", full);
}

/// The name inside the job; absent for what is passed over.
std::optional<std::string> PackReader::Inner::at_home(const std::string& full, bool is_folder) {
    constexpr std::string_view known[] = {"job.json", "layout.toml", "recordings", "notes",
                                          "history",  "cache",       "job.lock"};
    const auto [first, rest] = first_step(full);
    const auto& begin = first.empty() ? full : first;
    if (!home) home = std::ranges::find(known, begin) != std::end(known) ? "" : begin;
    std::string inside = full;
    if (!home->empty()) {
        if (begin != *home) refuse("it is not in the job's folder \"" + *home + "\"", full);
        if (first.empty() && is_folder) return std::nullopt;
        if (first.empty()) refuse("this is no file of a job", full);
        inside = rest;
    }
    if (is_passing_name(inside)) return std::nullopt;
    const bool known_folder = is_folder && (is_name_of_job(inside) || inside == "recordings" ||
                                            inside == "notes" || inside == "history" || inside == "cache");
    if (is_folder && known_folder) return std::nullopt;
    if (is_folder || !is_name_of_job(inside)) refuse("this is no file of a job", full);
    return inside;
}

void PackReader::Inner::check_amount() const {
    if (is_text(name) && file_bytes > limits.most_text) refuse("it is longer than any job's", name);
    if (unpacked_bytes > limits.most_bytes) refuse("it unpacks to more than any job");
    if (unpacked_bytes > limits.free_bytes && unpacked_bytes / limits.most_ratio > packed_bytes)
        refuse("it unpacks to far more than it is: no job does", name);
}

PackReader::PackReader(const std::filesystem::path& file, const PackLimits& limits)
    : inner_(std::make_unique<Inner>(file.string(), limits)) {
    inner_->prepare();
    inner_->open_file(file);
}

PackReader::PackReader(std::span<const std::byte> bytes, const std::string& name, const PackLimits& limits)
    : inner_(std::make_unique<Inner>(name, limits)) {
    inner_->prepare();
    inner_->open_memory(bytes);
}

PackReader::PackReader(PackReader&&) noexcept = default;
PackReader& PackReader::operator=(PackReader&&) noexcept = default;
PackReader::~PackReader() = default;

std::optional<PackedFile> PackReader::next() {
    auto& in = *inner_;
    const Utf8Locale names_are_utf8;
    in.in_file = false;
    for (;;) {
        archive_entry* entry = nullptr;
        const int code = archive_read_next_header(in.zip, &entry);
        if (code == ARCHIVE_EOF) return std::nullopt;
        // A warning is of a name that is not in the way it says: refused with the rest.
        if (code != ARCHIVE_OK) in.refuse("it is damaged, or not a packed job (a .zip)");
        if (++in.files > in.limits.most_files) in.refuse("it holds more files than any job");
        const auto full = in.name_of(entry);
        in.check_kind(entry, full);
        const bool is_folder = archive_entry_filetype(entry) == AE_IFDIR;
        if (!(is_folder ? in.seen.add_folder(full) : in.seen.add_file(full)))
            in.refuse("it is there twice, or differs from another only in capitals", full);
        auto inside = in.at_home(full, is_folder);
        if (!inside) continue;
        in.name = *inside;
        in.file_bytes = 0;
        in.in_file = true;
        PackedFile file{*std::move(inside), std::nullopt};
        if (archive_entry_mtime_is_set(entry) != 0 && archive_entry_mtime(entry) > 0)
            file.modified = Moment{std::chrono::seconds{archive_entry_mtime(entry)}};
        return file;
    }
}

std::string_view PackReader::read() {
    auto& in = *inner_;
    if (!in.in_file) return {};
    const auto got = archive_read_data(in.zip, in.piece.data(), in.piece.size());
    if (got < 0) in.refuse("it is damaged", in.name);
    const auto count = static_cast<std::size_t>(got);
    in.file_bytes += count;
    in.unpacked_bytes += count;
    in.check_amount();
    return std::string_view(in.piece).substr(0, count);
}

double PackReader::share() const {
    const auto& in = *inner_;
    if (in.packed_bytes == 0) return 1.0;
    const auto read = static_cast<double>(archive_filter_bytes(in.zip, -1));
    return std::min(read / static_cast<double>(in.packed_bytes), 1.0);
}

}  // namespace cranknote::job
