#include "audio/write.hpp"

#include <fcntl.h>
#include <sndfile.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <cstring>
#include <vector>

#include "audio/decode.hpp"
#include "audio/write_trouble.hpp"
#include "units/error.hpp"

namespace cranknote {
namespace {

std::string folder_of(const std::string& path) {
    const auto slash = path.find_last_of('/');
    return slash == std::string::npos ? "." : slash == 0 ? "/" : path.substr(0, slash);
}

/// A file that takes its name only when it is whole.
class NewFile {
  public:
    explicit NewFile(std::string path) : path_(std::move(path)) {
        // With open() and not mkstemp(): a clip gets the rights that new files have here.
        for (int i = 0; i < 1000 && fd_ < 0; ++i) {
            temporary_ =
                folder_of(path_) + "/.cranknote-" + std::to_string(::getpid()) + "-" + std::to_string(i);
            fd_ = ::open(temporary_.c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
            if (fd_ < 0 && errno != EEXIST) break;
        }
        if (fd_ < 0) refuse_write(path_, errno);
    }
    ~NewFile() {
        if (fd_ >= 0) ::close(fd_);
        if (!kept_) ::unlink(temporary_.c_str());
    }
    NewFile(const NewFile&) = delete;
    NewFile& operator=(const NewFile&) = delete;
    [[nodiscard]] int fd() const { return fd_; }
    [[nodiscard]] const std::string& path() const { return path_; }

    void keep() {
        if (::fsync(fd_) != 0) refuse_write(path_, errno);
        const int closed = ::close(fd_);
        fd_ = -1;
        if (closed != 0 || ::rename(temporary_.c_str(), path_.c_str()) != 0) refuse_write(path_, errno);
        kept_ = true;
        const int folder = ::open(folder_of(path_).c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
        if (folder >= 0) {
            (void)::fsync(folder);  // some file systems cannot; the file itself is safe
            ::close(folder);
        }
    }

  private:
    std::string path_, temporary_;
    int fd_ = -1;
    bool kept_ = false;
};

int subtype_of(SampleCoding coding) {
    switch (coding) {
        case SampleCoding::pcm16:
            return SF_FORMAT_PCM_16;
        case SampleCoding::pcm24:
            return SF_FORMAT_PCM_24;
        case SampleCoding::float32:
            break;
    }
    return SF_FORMAT_FLOAT;
}

void require_writable(const std::string& path, const Recording& r) {
    if (r.samples() == 0)
        throw Error("there is no sound to write", path, "choose a longer stretch", Error::Kind::wrong_call);
    if (r.channels.size() > static_cast<std::size_t>(most_channels))
        throw Error("more than 8 channels cannot be written", path, "choose channels",
                    Error::Kind::wrong_call);
    for (const auto& c : r.channels)
        if (c.size() != r.samples())
            throw Error("the channels are of unlike length", path, "", Error::Kind::wrong_call);
}

bool write_all(SNDFILE* file, const Recording& r) {
    const auto channels = r.channels.size();
    std::vector<float> interleaved;
    for (std::size_t at = 0; at < r.samples();) {
        const auto n = std::min<std::size_t>(r.samples() - at, 16384);
        interleaved.resize(n * channels);
        for (std::size_t c = 0; c < channels; ++c)
            for (std::size_t i = 0; i < n; ++i) {
                const float x = r.channels[c][at + i];
                interleaved[i * channels + c] = std::isfinite(x) ? x : 0.0F;
            }
        if (sf_writef_float(file, interleaved.data(), static_cast<sf_count_t>(n)) !=
            static_cast<sf_count_t>(n))
            return false;
        at += n;
    }
    return true;
}

void write(const std::string& path, const Recording& r, int format) {
    require_writable(path, r);
    NewFile out(path);
    SF_INFO info{};
    info.samplerate = static_cast<int>(std::lround(r.rate.value()));
    info.channels = static_cast<int>(r.channels.size());
    info.format = format;
    errno = 0;
    SNDFILE* file = sf_open_fd(out.fd(), SFM_WRITE, &info, SF_FALSE);
    if (file == nullptr)
        throw Error(std::string("cannot be written: ") + sf_strerror(nullptr), path,
                    "choose WAV or another rate");
    sf_command(file, SFC_SET_CLIPPING, nullptr, SF_TRUE);
    const bool written = write_all(file, r);
    const int trouble = errno;
    const bool closed = sf_close(file) == 0;
    if (!written || !closed) refuse_write(path, trouble != 0 ? trouble : EIO);
    out.keep();
}

}  // namespace

void write_wav(const std::string& path, const Recording& recording, SampleCoding coding) {
    const double bytes =
        static_cast<double>(recording.samples()) * static_cast<double>(recording.channels.size()) * 4;
    write(path, recording, (bytes > 4e9 ? SF_FORMAT_RF64 : SF_FORMAT_WAV) | subtype_of(coding));
}

void write_flac(const std::string& path, const Recording& recording, SampleCoding coding) {
    if (coding == SampleCoding::float32)
        throw Error("FLAC holds no float samples", path, "use 16 or 24 bits, or WAV",
                    Error::Kind::wrong_call);
    write(path, recording, SF_FORMAT_FLAC | subtype_of(coding));
}

}  // namespace cranknote
