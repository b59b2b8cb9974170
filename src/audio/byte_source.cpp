#include "audio/byte_source.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <utility>

#include "units/error.hpp"

namespace cranknote {
namespace {

[[noreturn]] void refuse_open(const std::string& path, int why) {
    switch (why) {
        case ENOENT:
        case ENOTDIR:
            throw Error("there is no such file", path, "check the name and the folder");
        case EACCES:
        case EPERM:
            throw Error("no right to read it", path, "change the file's rights, or copy it");
        case ENAMETOOLONG:
            throw Error("the name is too long", path, "give the file a shorter name");
        case ENXIO:
            throw Error("not an ordinary file", path, "copy the sound into a file first");
        default:
            throw Error(std::string("cannot be opened: ") + std::strerror(why), path, "check the disk");
    }
}

void require_ordinary(const std::string& path, const struct stat& s) {
    if (S_ISDIR(s.st_mode)) throw Error("a folder, not a sound file", path, "name a file inside it");
    if (!S_ISREG(s.st_mode))
        throw Error("not an ordinary file (a pipe or a device)", path, "copy the sound into a file first");
}

void require_content(const std::string& path, std::int64_t size) {
    if (size == 0)
        throw Error("the file is empty", path,
                    "copy it from the phone again; the copy or the recording was broken off");
}

}  // namespace

ByteSource::ByteSource(int fd, std::span<const std::byte> memory, std::int64_t size, std::string name)
    : fd_(fd), memory_(memory), size_(size), name_(std::move(name)) {}

ByteSource::~ByteSource() {
    if (fd_ >= 0) ::close(fd_);
}

std::unique_ptr<ByteSource> ByteSource::of_file(const std::string& path) {
    if (path.empty()) throw Error("no file was named", "", "name a sound file");
    if (path.find('\0') != std::string::npos)
        throw Error("the name holds a zero byte", "", "rename the file");
    struct stat before {};
    if (::stat(path.c_str(), &before) != 0) refuse_open(path, errno);
    require_ordinary(path, before);  // before opening: opening some devices does things
    const int fd = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY);
    if (fd < 0) refuse_open(path, errno);
    auto source = std::unique_ptr<ByteSource>(new ByteSource(fd, {}, 0, path));
    struct stat s {};
    if (::fstat(fd, &s) != 0) refuse_open(path, errno);
    require_ordinary(path, s);
    require_content(path, s.st_size);
    source->size_ = s.st_size;
    return source;
}

std::unique_ptr<ByteSource> ByteSource::of_memory(std::span<const std::byte> bytes, const std::string& name) {
    const auto size = static_cast<std::int64_t>(bytes.size());
    require_content(name, size);
    return std::unique_ptr<ByteSource>(new ByteSource(-1, bytes, size, name));
}

bool ByteSource::seek(std::int64_t position) {
    ++calls_;
    if (position < 0) return false;
    position_ = position;
    return true;
}

std::size_t ByteSource::read(void* into, std::size_t count) {
    ++calls_;
    const auto got = read_at(position_, into, count);
    position_ += static_cast<std::int64_t>(got);
    return got;
}

std::size_t ByteSource::read_at(std::int64_t position, void* into, std::size_t count) {
    if (position < 0 || position >= size_) return 0;
    count = std::min(count, static_cast<std::size_t>(size_ - position));
    if (fd_ < 0) {
        std::memcpy(into, memory_.data() + position, count);
        return count;
    }
    std::size_t got = 0;
    while (got < count) {
        const auto n = ::pread(fd_, static_cast<char*>(into) + got, count - got,
                               static_cast<off_t>(position) + static_cast<off_t>(got));
        if (n < 0 && errno == EINTR) continue;
        if (n < 0) trouble_ = std::strerror(errno);
        if (n <= 0) break;
        got += static_cast<std::size_t>(n);
    }
    return got;
}

bool ByteSource::overworked() const {
    // A library reads some 4 to 32 KB at a time, and jumps to every packet at worst (packets of 100 bytes).
    return calls_ > 1'000'000 + size_ / 16;
}

}  // namespace cranknote
