#include "job/disk.hpp"

#include <fcntl.h>
#include <openssl/evp.h>
#include <openssl/rand.h>
#include <stdio.h>  // renameat2
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <memory>
#include <system_error>
#include <utility>
#include <vector>

#include "units/error.hpp"

namespace cranknote::job {
namespace fs = std::filesystem;
namespace {

constexpr std::size_t block = 1 << 20;

[[noreturn]] void fail(const fs::path& where, int error_number) {
    const bool full = error_number == ENOSPC || error_number == EDQUOT;
    throw Error(trouble_of(error_number), where.string(),
                full ? "nothing was changed; make room and try again" : "");
}

/// An open file, closed at the end of its scope.
class File {
  public:
    File(const fs::path& path, int flags, mode_t mode = 0666)
        : path_(path), fd_(::open(path.c_str(), flags | O_CLOEXEC, mode)) {
        if (fd_ < 0) fail(path_, errno);
    }
    ~File() {
        if (fd_ >= 0) ::close(fd_);
    }
    File(const File&) = delete;
    File& operator=(const File&) = delete;

    [[nodiscard]] struct stat facts() const {
        struct stat s {};
        if (::fstat(fd_, &s) != 0) fail(path_, errno);
        return s;
    }
    [[nodiscard]] std::size_t read(char* to, std::size_t most) const {
        for (;;) {
            const ssize_t got = ::read(fd_, to, most);
            if (got >= 0) return static_cast<std::size_t>(got);
            if (errno != EINTR) fail(path_, errno);
        }
    }
    void write(std::string_view bytes) const {
        while (!bytes.empty()) {
            const ssize_t put = ::write(fd_, bytes.data(), bytes.size());
            if (put < 0 && errno != EINTR) fail(path_, errno);
            if (put > 0) bytes.remove_prefix(static_cast<std::size_t>(put));
        }
    }
    void set_modified(const timespec& when) const {
        const std::array<timespec, 2> times{timespec{0, UTIME_OMIT}, when};
        (void)::futimens(fd_, times.data());  // a disk that keeps no times keeps the sound all the same
    }
    void sync() const {
        if (::fsync(fd_) != 0 && errno != EINVAL) fail(path_, errno);
    }
    /// Closing can be where a full disk is noticed.
    void close() {
        const int fd = std::exchange(fd_, -1);
        if (::close(fd) != 0 && errno != EINTR) fail(path_, errno);
    }

  private:
    fs::path path_;
    int fd_;
};

/// A temporary file that is removed unless it was put in its place.
class Temporary {
  public:
    explicit Temporary(const fs::path& folder)
        : path_(folder / (std::string(temporary_prefix) + random_hex(8))),
          file_(path_, O_WRONLY | O_CREAT | O_EXCL) {}
    ~Temporary() {
        if (!placed_) ::unlink(path_.c_str());
    }
    Temporary(const Temporary&) = delete;
    Temporary& operator=(const Temporary&) = delete;

    File& file() { return file_; }
    void place_at(const fs::path& final_path) {
        if (::rename(path_.c_str(), final_path.c_str()) != 0) fail(final_path, errno);
        placed_ = true;
    }

  private:
    fs::path path_;
    File file_;
    bool placed_ = false;
};

class Sha256 {
  public:
    Sha256() : context_(EVP_MD_CTX_new(), &EVP_MD_CTX_free) {
        if (!context_ || EVP_DigestInit_ex(context_.get(), EVP_sha256(), nullptr) != 1) refuse();
    }
    void add(std::string_view bytes) {
        if (EVP_DigestUpdate(context_.get(), bytes.data(), bytes.size()) != 1) refuse();
    }
    std::string hex() {
        std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
        unsigned length = 0;
        if (EVP_DigestFinal_ex(context_.get(), digest.data(), &length) != 1) refuse();
        return hex_of(digest.data(), length);
    }
    static std::string hex_of(const unsigned char* bytes, std::size_t count) {
        constexpr std::string_view digits = "0123456789abcdef";
        std::string text;
        for (std::size_t i = 0; i < count; ++i) {
            text += digits[bytes[i] >> 4];
            text += digits[bytes[i] & 15];
        }
        return text;
    }

  private:
    [[noreturn]] static void refuse() { throw Error("libcrypto gives no SHA-256", "", ""); }
    std::unique_ptr<EVP_MD_CTX, decltype(&EVP_MD_CTX_free)> context_;
};

Moment moment_of(const struct stat& s) { return Moment{std::chrono::seconds{s.st_mtim.tv_sec}}; }

struct stat plain_file_facts(const File& file, const fs::path& path) {
    const auto s = file.facts();
    if (!S_ISREG(s.st_mode)) throw Error("this is not a plain file", path.string(), "");
    return s;
}

/// Reads a file block by block; false if `progress` stopped it.
template <class Use>
bool for_each_block(const File& file, std::uint64_t size, const Progress& progress, Use use) {
    std::vector<char> buffer(block);
    std::uint64_t done = 0;
    for (;;) {
        const std::size_t got = file.read(buffer.data(), buffer.size());
        if (got == 0) return true;
        use(std::string_view(buffer.data(), got));
        done += got;
        const double share = size > 0 ? static_cast<double>(done) / static_cast<double>(size) : 1.0;
        if (progress && !progress(std::min(share, 1.0))) return false;
    }
}

}  // namespace

std::string trouble_of(int error_number) {
    switch (error_number) {
        case ENOSPC:
        case EDQUOT:
            return "the disk is full";
        case EACCES:
        case EPERM:
            return "no permission";
        case EROFS:
            return "the disk cannot be written to";
        case ENOENT:
            return "there is no such file";
        case EIO:
            return "the disk cannot be read or written properly";
        case ENAMETOOLONG:
            return "the name is too long for this disk";
        default:
            return std::generic_category().message(error_number);
    }
}

std::string sha256_of(std::string_view bytes) {
    Sha256 hash;
    hash.add(bytes);
    return hash.hex();
}

std::optional<std::string> sha256_of_file(const fs::path& path, const Progress& progress) {
    const File file(path, O_RDONLY | O_NONBLOCK);
    const auto s = plain_file_facts(file, path);
    Sha256 hash;
    if (!for_each_block(file, static_cast<std::uint64_t>(s.st_size), progress,
                        [&](std::string_view bytes) { hash.add(bytes); }))
        return std::nullopt;
    return hash.hex();
}

std::string random_hex(int bytes) {
    std::vector<unsigned char> raw(static_cast<std::size_t>(bytes));
    if (RAND_bytes(raw.data(), bytes) != 1) throw Error("libcrypto gives no random numbers", "", "");
    return Sha256::hex_of(raw.data(), raw.size());
}

bool stays_inside(std::string_view relative) {
    if (relative.empty() || relative.find('\0') != relative.npos || relative.find('\\') != relative.npos)
        return false;
    for (;;) {
        const auto slash = relative.find('/');
        const auto step = relative.substr(0, slash);
        if (step.empty() || step == "." || step == "..") return false;
        if (slash == relative.npos) return true;
        relative.remove_prefix(slash + 1);
    }
}

fs::path inside(const fs::path& folder, std::string_view relative) {
    const auto refuse = [&] {
        throw Error("this leads out of the job's folder", (folder / fs::path(relative)).string(),
                    "a job keeps everything inside its own folder");
    };
    if (!stays_inside(relative)) refuse();
    std::error_code ec;
    const fs::path home = fs::canonical(folder, ec);
    if (ec) throw Error(trouble_of(ec.value()), folder.string(), "");
    fs::path way = home;
    for (const auto& step : fs::path(relative)) {
        way /= step;
        if (!fs::is_symlink(fs::symlink_status(way, ec))) continue;
        const fs::path target = fs::canonical(way, ec);
        if (ec) refuse();  // a link to nothing: a write would make it appear outside
        const auto [from_home, rest] = std::mismatch(home.begin(), home.end(), target.begin(), target.end());
        if (from_home != home.end()) refuse();
    }
    return folder / fs::path(relative);
}

std::string read_file(const fs::path& path, std::uint64_t limit) {
    const File file(path, O_RDONLY | O_NONBLOCK);
    const auto s = plain_file_facts(file, path);
    if (static_cast<std::uint64_t>(s.st_size) > limit) throw Error("the file is too long", path.string(), "");
    std::string bytes;
    (void)for_each_block(file, 0, {}, [&](std::string_view part) {
        if (bytes.size() + part.size() > limit) throw Error("the file is too long", path.string(), "");
        bytes += part;
    });
    return bytes;
}

void write_whole(const fs::path& path, std::string_view bytes, Sync sync) {
    Temporary temporary(path.parent_path());
    temporary.file().write(bytes);
    if (sync == Sync::lasting) temporary.file().sync();
    temporary.file().close();
    temporary.place_at(path);
    if (sync == Sync::lasting) sync_folder(path.parent_path());
}

void write_pieces(const fs::path& path, const std::function<void(const Put&)>& fill,
                  std::optional<Moment> modified) {
    Temporary temporary(path.parent_path());
    fill([&](std::string_view bytes) { temporary.file().write(bytes); });
    if (modified) temporary.file().set_modified({modified->time_since_epoch().count(), 0});
    temporary.file().sync();
    temporary.file().close();
    temporary.place_at(path);
    sync_folder(path.parent_path());
}

bool read_pieces(const fs::path& path, const Put& use, const Progress& progress) {
    const File file(path, O_RDONLY | O_NONBLOCK);
    const auto s = plain_file_facts(file, path);
    return for_each_block(file, static_cast<std::uint64_t>(s.st_size), progress, use);
}

bool rename_to_free(const fs::path& from, const fs::path& to) {
    if (::renameat2(AT_FDCWD, from.c_str(), AT_FDCWD, to.c_str(), RENAME_NOREPLACE) == 0) return true;
    if (errno == EEXIST || errno == ENOTEMPTY) return false;
    if (errno != EINVAL && errno != ENOSYS) fail(to, errno);
    // A disk that cannot do both in one step: look first.
    std::error_code ec;
    if (fs::exists(fs::symlink_status(to, ec))) return false;
    if (::rename(from.c_str(), to.c_str()) != 0) fail(to, errno);
    return true;
}

std::optional<Copied> copy_in(const fs::path& from, const fs::path& folder,
                              const std::function<std::string(const Copied&)>& free_name,
                              const Progress& progress) {
    const File source(from, O_RDONLY | O_NONBLOCK);
    const auto s = plain_file_facts(source, from);
    Temporary temporary(folder);
    Sha256 hash;
    Copied copied;
    const bool whole =
        for_each_block(source, static_cast<std::uint64_t>(s.st_size), progress, [&](std::string_view bytes) {
            hash.add(bytes);
            temporary.file().write(bytes);
            copied.size += bytes.size();
        });
    if (!whole) return std::nullopt;
    copied.sha256 = hash.hex();
    copied.modified = moment_of(s);
    const std::string name = free_name(copied);
    if (name.empty()) return copied;
    temporary.file().set_modified(s.st_mtim);
    temporary.file().sync();
    temporary.file().close();
    temporary.place_at(folder / name);
    sync_folder(folder);
    return copied;
}

std::optional<FileFacts> facts_of(const fs::path& file) {
    struct stat s {};
    if (::lstat(file.c_str(), &s) != 0 || !S_ISREG(s.st_mode)) return std::nullopt;
    return FileFacts{static_cast<std::uint64_t>(s.st_size), moment_of(s)};
}

void set_modified(const fs::path& file, Moment modified) {
    const std::array<timespec, 2> times{timespec{0, UTIME_OMIT},
                                        timespec{modified.time_since_epoch().count(), 0}};
    (void)::utimensat(AT_FDCWD, file.c_str(), times.data(), AT_SYMLINK_NOFOLLOW);
}

void sync_folder(const fs::path& folder) {
    const int fd = ::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (fd < 0) return;
    (void)::fsync(fd);
    ::close(fd);
}

}  // namespace cranknote::job
