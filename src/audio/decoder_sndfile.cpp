// WAV, FLAC, Ogg Vorbis, AIFF, CAF, AU through libsndfile, every return checked.
//
// Not MP3: libsndfile 1.2's reader prints its own warnings on stderr, and does not tell that a file was cut.
#include <sndfile.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <utility>

#include "audio/decoder.hpp"
#include "units/error.hpp"

namespace cranknote {
namespace {

ByteSource& source(void* user) { return *static_cast<ByteSource*>(user); }

sf_count_t vio_length(void* user) { return source(user).size(); }
sf_count_t vio_tell(void* user) { return source(user).position(); }
sf_count_t vio_write(const void*, sf_count_t, void*) { return 0; }

sf_count_t vio_seek(sf_count_t offset, int whence, void* user) {
    auto& s = source(user);
    const auto base = whence == SEEK_CUR ? s.position() : whence == SEEK_END ? s.size() : 0;
    return s.seek(base + offset) ? s.position() : -1;
}

sf_count_t vio_read(void* into, sf_count_t count, void* user) {
    auto& s = source(user);
    if (count <= 0 || s.overworked()) return 0;
    return static_cast<sf_count_t>(s.read(into, static_cast<std::size_t>(count)));
}

struct Coding {
    const char* codec;
    int bits;
};

Coding coding_of(int format) {
    switch (format & SF_FORMAT_SUBMASK) {
        case SF_FORMAT_PCM_S8:
        case SF_FORMAT_PCM_U8:
            return {"pcm", 8};
        case SF_FORMAT_PCM_16:
            return {"pcm", 16};
        case SF_FORMAT_PCM_24:
            return {"pcm", 24};
        case SF_FORMAT_PCM_32:
            return {"pcm", 32};
        case SF_FORMAT_FLOAT:
            return {"float", 32};
        case SF_FORMAT_DOUBLE:
            return {"float", 64};
        case SF_FORMAT_ULAW:
            return {"mu-law", 8};
        case SF_FORMAT_ALAW:
            return {"a-law", 8};
        case SF_FORMAT_IMA_ADPCM:
        case SF_FORMAT_MS_ADPCM:
            return {"adpcm", 4};
        case SF_FORMAT_GSM610:
            return {"gsm", 0};
        case SF_FORMAT_VORBIS:
            return {"vorbis", 0};
        case SF_FORMAT_OPUS:
            return {"opus", 0};
        case SF_FORMAT_ALAC_16:
            return {"alac", 16};
        case SF_FORMAT_ALAC_20:
            return {"alac", 20};
        case SF_FORMAT_ALAC_24:
            return {"alac", 24};
        case SF_FORMAT_ALAC_32:
            return {"alac", 32};
        case SF_FORMAT_MPEG_LAYER_I:
            return {"mp1", 0};
        case SF_FORMAT_MPEG_LAYER_II:
            return {"mp2", 0};
        case SF_FORMAT_MPEG_LAYER_III:
            return {"mp3", 0};
        default:
            return {"other", 0};
    }
}

/// Where in a Vorbis frame each channel in the order of a WAV file stands (Vorbis I specification, 4.3.9).
constexpr std::array<std::array<std::size_t, 8>, 9> vorbis_order{{{},
                                                                  {0},
                                                                  {0, 1},
                                                                  {0, 2, 1},
                                                                  {0, 1, 2, 3},
                                                                  {0, 2, 1, 3, 4},
                                                                  {0, 2, 1, 5, 3, 4},
                                                                  {0, 2, 1, 6, 5, 3, 4},
                                                                  {0, 2, 1, 7, 5, 6, 3, 4}}};

class SndfileDecoder final : public Decoder {
  public:
    SndfileDecoder(ByteSource& bytes, const Sniffed& sniffed);
    ~SndfileDecoder() override {
        if (file_ != nullptr) sf_close(file_);
    }
    SndfileDecoder(const SndfileDecoder&) = delete;
    SndfileDecoder& operator=(const SndfileDecoder&) = delete;
    std::size_t read(std::size_t frames, PlanarBlock& out) override;
    std::size_t skip_quickly(std::size_t frames) override;

  private:
    void find_promise(const Sniffed& sniffed);
    void look_for_break(const std::string& last_error);
    ByteSource& bytes_;
    SF_VIRTUAL_IO io_{vio_length, vio_seek, vio_read, vio_write, vio_tell};
    SNDFILE* file_ = nullptr;
    std::int64_t frames_ = 0;              // as libsndfile counts them
    std::int64_t position_ = 0;            // given out or skipped
    std::optional<std::string> promised_;  // what the header promised beyond the file's end
    bool plain_samples_ = false;           // every sample has its place in the file: jumping is exact
    std::vector<float> interleaved_;
};

SndfileDecoder::SndfileDecoder(ByteSource& bytes, const Sniffed& sniffed) : bytes_(bytes) {
    SF_INFO sf{};
    bytes_.seek(0);
    file_ = sf_open_virtual(&io_, SFM_READ, &sf, &bytes_);
    if (file_ == nullptr) {
        std::string why = sf_strerror(nullptr);
        while (!why.empty() && (why.back() == '.' || why.back() == ' ')) why.pop_back();
        throw Error("its header or its sound is broken: " + why, bytes_.name(), "copy the file again");
    }
    const auto coding = coding_of(sf.format);
    info.rate = SampleRate{static_cast<double>(sf.samplerate)};
    info.channels = sf.channels;
    info.container = sniffed.what;
    info.codec = coding.codec;
    info.bits = coding.bits;
    info.path = bytes_.name();
    frames_ = sf.frames >= 0 && sf.frames < SF_COUNT_MAX / 2 ? sf.frames : 0;
    if (frames_ > 0 && sf.samplerate > 0)
        info.duration = Seconds{static_cast<double>(frames_) / sf.samplerate};
    find_promise(sniffed);
}

void SndfileDecoder::find_promise(const Sniffed& sniffed) {
    const auto claim = header_claim(bytes_, sniffed);
    if (claim.samples_end && *claim.samples_end > bytes_.size())
        promised_ = "its header promises more than the file holds";
    plain_samples_ = info.codec == "pcm" || (info.codec == "float" && info.container != "flac");
    if (info.container == "flac" || info.container == "ogg") plain_samples_ = false;
}

void SndfileDecoder::look_for_break(const std::string& last_error) {
    if (broken) return;
    if (!bytes_.trouble().empty())
        broken = "it cannot be read further (" + bytes_.trouble() + ")";
    else if (!last_error.empty())
        broken = "what follows is damaged";
    else if (position_ < frames_)
        broken = "its header promises more than the file holds";
    else
        broken = promised_;
}

std::size_t SndfileDecoder::read(std::size_t frames, PlanarBlock& out) {
    const auto channels = static_cast<std::size_t>(info.channels);
    std::size_t done = 0;
    while (done < frames) {
        const auto want = std::min<std::size_t>(frames - done, 8192);
        interleaved_.resize(want * channels);
        const auto got = sf_readf_float(file_, interleaved_.data(), static_cast<sf_count_t>(want));
        const auto n =
            static_cast<std::size_t>(std::clamp<sf_count_t>(got, 0, static_cast<sf_count_t>(want)));
        for (std::size_t c = 0; c < channels; ++c) {
            const bool vorbis = info.codec == "vorbis" && channels < vorbis_order.size();
            const auto from = vorbis ? vorbis_order[channels][c] : c;
            const auto base = out[c].size();
            out[c].resize(base + n);
            for (std::size_t i = 0; i < n; ++i) out[c][base + i] = interleaved_[i * channels + from];
        }
        done += n;
        position_ += static_cast<std::int64_t>(n);
        const bool failed = sf_error(file_) != SF_ERR_NO_ERROR;
        if (n < want || failed) {
            look_for_break(failed ? sf_strerror(file_) : "");
            break;
        }
    }
    return done;
}

std::size_t SndfileDecoder::skip_quickly(std::size_t frames) {
    if (!plain_samples_ || frames_ <= position_) return 0;
    const auto step = std::min(static_cast<std::int64_t>(frames), frames_ - position_);
    const auto at = sf_seek(file_, position_ + step, SEEK_SET);
    if (at != position_ + step) {
        sf_seek(file_, position_, SEEK_SET);
        return 0;
    }
    position_ = at;
    return static_cast<std::size_t>(step);
}

}  // namespace

std::unique_ptr<Decoder> open_with_sndfile(ByteSource& bytes, const Sniffed& sniffed) {
    return std::make_unique<SndfileDecoder>(bytes, sniffed);
}

}  // namespace cranknote
