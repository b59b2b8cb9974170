#include "audio/growing_wav.hpp"

#include <fcntl.h>
#include <sndfile.h>
#include <unistd.h>

#include <cerrno>
#include <cmath>
#include <cstring>

#include "audio/write_trouble.hpp"
#include "units/error.hpp"

namespace cranknote {
namespace {

constexpr double most_bytes = 4.2e9;  // a RIFF length has 32 bits

}  // namespace

struct GrowingWav::Handle {
    int fd = -1;
    SNDFILE* file = nullptr;
    Handle() = default;
    Handle(const Handle&) = delete;
    Handle& operator=(const Handle&) = delete;
    ~Handle() {
        if (file != nullptr) sf_close(file);
        if (fd >= 0) ::close(fd);
    }
};

GrowingWav::GrowingWav(const std::string& path, SampleRate rate, int channels)
    : handle_(std::make_unique<Handle>()), path_(path), channels_(channels) {
    if (channels < 1 || channels > 8)
        throw Error("1 to 8 channels can be written", path, "choose 1 or 2", Error::Kind::wrong_call);
    handle_->fd = ::open(path.c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (handle_->fd < 0 && errno == EEXIST)
        throw Error("a file of that name is there already", path,
                    "choose another name; nothing was written over", Error::Kind::wrong_call);
    if (handle_->fd < 0) refuse_write(path, errno);
    SF_INFO info{};
    info.samplerate = static_cast<int>(std::lround(rate.value()));
    info.channels = channels;
    info.format = SF_FORMAT_WAV | SF_FORMAT_FLOAT;
    handle_->file = sf_open_fd(handle_->fd, SFM_WRITE, &info, SF_FALSE);
    if (handle_->file == nullptr) {
        ::unlink(path.c_str());
        throw Error(std::string("cannot be written: ") + sf_strerror(nullptr), path, "choose another rate");
    }
    sf_command(handle_->file, SFC_SET_ADD_PEAK_CHUNK, nullptr, SF_FALSE);
    sf_command(handle_->file, SFC_SET_UPDATE_HEADER_AUTO, nullptr, SF_TRUE);
    sf_command(handle_->file, SFC_UPDATE_HEADER_NOW, nullptr, 0);
}

GrowingWav::~GrowingWav() = default;

void GrowingWav::append(std::span<const float> interleaved) {
    const auto frames = interleaved.size() / static_cast<std::size_t>(channels_);
    if (frames == 0) return;
    const double bytes = static_cast<double>(frames_ + frames) * channels_ * 4;
    if (bytes > most_bytes)
        throw Error("the recording is as long as a WAV file can be", path_, "go on in a new recording");
    errno = 0;
    const auto written = sf_writef_float(handle_->file, interleaved.data(), static_cast<sf_count_t>(frames));
    if (written > 0) frames_ += static_cast<std::size_t>(written);
    if (written != static_cast<sf_count_t>(frames)) refuse_write(path_, errno != 0 ? errno : ENOSPC);
}

void GrowingWav::sync() { sf_write_sync(handle_->file); }

}  // namespace cranknote
