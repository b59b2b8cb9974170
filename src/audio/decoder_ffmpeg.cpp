// MP3, M4A/AAC, 3GP/AMR, Opus, WMA and the sound of video through the FFmpeg libraries, every return checked.
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <utility>

#include "audio/decoder.hpp"
#include "audio/ffmpeg_handles.hpp"
#include "units/error.hpp"

namespace cranknote {
namespace {

// What may be used at all. No demuxer here opens a second file (playlists, concat, image series are not
// listed), no decoder here makes pictures.
constexpr const char* containers =
    "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,asf,amr,ogg,aac,mp3,flac,wav,w64,aiff,caf,au,avi";
constexpr const char* codecs =
    "aac,aac_latm,alac,amrnb,amrwb,libopencore_amrnb,libopencore_amrwb,opus,libopus,vorbis,flac,mp1float,"
    "mp2float,"
    "mp3float,mp1,mp2,mp3,ac3,eac3,wmav1,wmav2,wmapro,wmalossless,wmavoice,adpcm_ima_wav,adpcm_ms,adpcm_ima_"
    "qt,gsm,"
    "gsm_ms,qcelp,evrc,pcm_alaw,pcm_mulaw,pcm_u8,pcm_s8,pcm_s16le,pcm_s16be,pcm_s24le,pcm_s24be,pcm_s32le,"
    "pcm_s32be,pcm_f32le,pcm_f32be,pcm_f64le,pcm_f64be";
constexpr int io_buffer_bytes = 32 * 1024;
constexpr std::size_t largest_allocation = 64U << 20U;  // the largest tables of an hour's file are some 5 MB
constexpr int most_packets_without_sound = 2000;        // some 40 s of a phone's packets

constexpr double smallest_gap_s = 0.05;  // above the rounding and jitter of time stamps

void silence_and_bound_the_library() {
    static const bool once = [] {
        av_log_set_level(AV_LOG_QUIET);
        av_max_alloc(largest_allocation);
        return true;
    }();
    (void)once;
}

int read_bytes(void* user, std::uint8_t* into, int count) {
    auto& s = *static_cast<ByteSource*>(user);
    if (s.overworked()) return AVERROR_EXIT;
    const auto got = count > 0 ? s.read(into, static_cast<std::size_t>(count)) : 0;
    return got == 0 ? AVERROR_EOF : static_cast<int>(got);
}

std::int64_t seek_bytes(void* user, std::int64_t offset, int whence) {
    auto& s = *static_cast<ByteSource*>(user);
    if ((whence & AVSEEK_SIZE) != 0) return s.size();
    whence &= ~AVSEEK_FORCE;
    const auto base = whence == SEEK_CUR ? s.position() : whence == SEEK_END ? s.size() : 0;
    if (offset > 0 && base > std::numeric_limits<std::int64_t>::max() - offset) return AVERROR(EINVAL);
    return s.seek(base + offset) ? s.position() : AVERROR(EINVAL);
}

/// A sound file never makes us open another one.
int refuse_to_open(AVFormatContext*, AVIOContext**, const char*, int, AVDictionary**) {
    return AVERROR(EPERM);
}

int give_up_when_overworked(void* user) { return static_cast<ByteSource*>(user)->overworked() ? 1 : 0; }

/// Appends `count` samples, `step` apart, scaled to full scale ±1.
template <class Sample>
void append_scaled(const std::uint8_t* plane, std::size_t first, std::size_t step, std::size_t count,
                   double scale, double zero, std::vector<float>& out) {
    const auto* p = reinterpret_cast<const Sample*>(plane) + first;
    const auto base = out.size();
    out.resize(base + count);
    for (std::size_t i = 0; i < count; ++i)
        out[base + i] = static_cast<float>((static_cast<double>(p[i * step]) - zero) * scale);
}

void append(AVSampleFormat packed, const std::uint8_t* plane, std::size_t first, std::size_t step,
            std::size_t count, std::vector<float>& out) {
    switch (packed) {
        case AV_SAMPLE_FMT_U8:
            return append_scaled<std::uint8_t>(plane, first, step, count, 1.0 / 128, 128, out);
        case AV_SAMPLE_FMT_S16:
            return append_scaled<std::int16_t>(plane, first, step, count, 1.0 / 32768, 0, out);
        case AV_SAMPLE_FMT_S32:
            return append_scaled<std::int32_t>(plane, first, step, count, 1.0 / 2147483648.0, 0, out);
        case AV_SAMPLE_FMT_FLT:
            return append_scaled<float>(plane, first, step, count, 1, 0, out);
        case AV_SAMPLE_FMT_DBL:
            return append_scaled<double>(plane, first, step, count, 1, 0, out);
        default:
            out.resize(out.size() + count, std::numeric_limits<float>::quiet_NaN());
    }
}

std::string codec_name(AVCodecID id) {
    switch (id) {
        case AV_CODEC_ID_AMR_NB:
            return "amr-nb";
        case AV_CODEC_ID_AMR_WB:
            return "amr-wb";
        case AV_CODEC_ID_WMAV1:
        case AV_CODEC_ID_WMAV2:
        case AV_CODEC_ID_WMAPRO:
        case AV_CODEC_ID_WMALOSSLESS:
        case AV_CODEC_ID_WMAVOICE:
            return "wma";
        default:
            break;
    }
    const std::string name = avcodec_get_name(id);
    if (name.starts_with("pcm_f")) return "float";
    if (name.starts_with("pcm_")) return "pcm";
    if (name.starts_with("adpcm_")) return "adpcm";
    return name;
}

class FfmpegDecoder final : public Decoder {
  public:
    FfmpegDecoder(ByteSource& bytes, const Sniffed& sniffed);
    std::size_t read(std::size_t frames, PlanarBlock& out) override;

  private:
    void open_container();
    void choose_stream();
    void open_codec();
    void describe(const Sniffed& sniffed);
    [[nodiscard]] std::optional<double> promised_seconds() const;
    void find_promised_length();
    [[nodiscard]] Error trouble(const std::string& what, const std::string& advice) const {
        return Error(what, bytes_.name(), advice);
    }
    bool next_frame();
    void feed();
    [[nodiscard]] int left_out_by_voice_coder() const;
    void stand_in_with_silence(int samples);
    bool accept_frame();
    void look_for_gap();
    void note_break(const std::string& why);

    ByteSource& bytes_;
    ffmpeg::Io io_;  // before the format, which uses it to its end
    ffmpeg::Format format_;
    AVStream* stream_ = nullptr;
    ffmpeg::Codec codec_;
    ffmpeg::Packet packet_{av_packet_alloc()};
    ffmpeg::Frame frame_{av_frame_alloc()};
    std::size_t in_frame_ = 0;  // samples of frame_ already given out
    std::size_t frame_samples_ = 0;
    std::int64_t position_ = 0;
    std::optional<std::int64_t> promised_;  // samples by the container's tables
    std::optional<std::int64_t> cut_at_;    // padding begins here
    std::optional<double> next_stamp_;      // the time stamp that the next frame should have, in seconds
    int packets_without_sound_ = 0;
    std::int64_t left_out_ = 0;  // samples that a voice coder did not send
    bool silent_ = false;        // what stands in frame_'s place is silence
    bool drained_ = false, ended_ = false;
};

FfmpegDecoder::FfmpegDecoder(ByteSource& bytes, const Sniffed& sniffed) : bytes_(bytes) {
    silence_and_bound_the_library();
    if (!packet_ || !frame_) throw std::bad_alloc();
    bytes_.seek(0);
    open_container();
    choose_stream();
    open_codec();
    if (!next_frame())
        throw trouble("it holds no sound that can be read",
                      "copy the file again; if it plays elsewhere, export it there as WAV");
    describe(sniffed);
    find_promised_length();
}

void FfmpegDecoder::open_container() {
    auto* buffer = static_cast<unsigned char*>(av_malloc(io_buffer_bytes));
    if (buffer == nullptr) throw std::bad_alloc();
    io_.reset(avio_alloc_context(buffer, io_buffer_bytes, 0, &bytes_, read_bytes, nullptr, seek_bytes));
    if (!io_) {
        av_free(buffer);
        throw std::bad_alloc();
    }
    AVFormatContext* raw = avformat_alloc_context();
    if (raw == nullptr) throw std::bad_alloc();
    raw->pb = io_.get();
    raw->flags |= AVFMT_FLAG_CUSTOM_IO;
    raw->io_open = refuse_to_open;
    raw->interrupt_callback = {give_up_when_overworked, &bytes_};
    raw->format_whitelist = av_strdup(containers);
    raw->codec_whitelist = av_strdup(codecs);
    raw->protocol_whitelist = av_strdup("none");
    raw->max_streams = 64;
    raw->max_probe_packets = 500;
    raw->probesize = 4 << 20;
    const int code = avformat_open_input(&raw, "", nullptr, nullptr);  // frees `raw` when it fails
    if (code < 0) {
        if (!bytes_.trouble().empty())
            throw trouble("it cannot be read (" + bytes_.trouble() + ")", "check the disk or card");
        throw trouble("not a sound file that can be read, or its beginning or its index is missing",
                      "copy the file again; if the recording was broken off, record again");
    }
    format_.reset(raw);
}

void FfmpegDecoder::choose_stream() {
    auto* f = format_.get();
    for (unsigned i = 0; i < f->nb_streams; ++i)  // pictures are never looked into
        if (f->streams[i]->codecpar->codec_type != AVMEDIA_TYPE_AUDIO) f->streams[i]->discard = AVDISCARD_ALL;
    const int code = avformat_find_stream_info(f, nullptr);
    if (code < 0 && f->nb_streams == 0)
        throw trouble("it holds no sound that can be read", "copy the file again");
    const int best = av_find_best_stream(f, AVMEDIA_TYPE_AUDIO, -1, -1, nullptr, 0);
    if (best < 0) {
        bool video = false;
        for (unsigned i = 0; i < f->nb_streams; ++i)
            video = video || f->streams[i]->codecpar->codec_type == AVMEDIA_TYPE_VIDEO;
        throw trouble(video ? "a video without sound" : "it holds no sound",
                      "record again with the microphone on");
    }
    stream_ = f->streams[best];
    for (unsigned i = 0; i < f->nb_streams; ++i)
        if (static_cast<int>(i) != best) f->streams[i]->discard = AVDISCARD_ALL;
}

void FfmpegDecoder::open_codec() {
    const auto* par = stream_->codecpar;
    const AVCodec* decoder =
        par->codec_id == AV_CODEC_ID_NONE ? nullptr : avcodec_find_decoder(par->codec_id);
    if (decoder == nullptr)
        throw trouble("its sound is protected or in a coding that cannot be read",
                      "export it as WAV where it plays");
    codec_.reset(avcodec_alloc_context3(decoder));
    if (!codec_) throw std::bad_alloc();
    if (avcodec_parameters_to_context(codec_.get(), par) < 0)
        throw trouble("its header is broken", "copy the file again");
    codec_->pkt_timebase = stream_->time_base;  // so that delay and padding are cut off
    codec_->codec_whitelist = av_strdup(codecs);
    codec_->max_samples = 1 << 20;
    codec_->thread_count = 1;
    if (avcodec_open2(codec_.get(), decoder, nullptr) < 0)
        throw trouble("its sound cannot be decoded (" + codec_name(par->codec_id) + ")",
                      "export it as WAV where it plays");
}

void FfmpegDecoder::describe(const Sniffed& sniffed) {
    info.rate = SampleRate{static_cast<double>(silent_ ? codec_->sample_rate : frame_->sample_rate)};
    info.channels = silent_ ? codec_->ch_layout.nb_channels : frame_->ch_layout.nb_channels;
    info.container = sniffed.what.empty() ? std::string(format_->iformat->name) : sniffed.what;
    info.codec = codec_name(codec_->codec_id);
    const bool exact =
        info.codec == "pcm" || info.codec == "float" || info.codec == "flac" || info.codec == "alac";
    info.bits = !exact ? 0
                : codec_->bits_per_raw_sample > 0
                    ? codec_->bits_per_raw_sample
                    : 8 * av_get_bytes_per_sample(static_cast<AVSampleFormat>(frame_->format));
    info.path = bytes_.name();
    delay = std::max(0, stream_->codecpar->initial_padding);
    if (stream_->codecpar->bit_rate > 0) info.bit_rate = static_cast<double>(stream_->codecpar->bit_rate);
    if (const auto* e = av_dict_get(format_->metadata, "creation_time", nullptr, 0); e != nullptr)
        info.created = e->value;
}

/// The number of samples without padding in a tag that some phones write: its fourth group, in hexadecimal.
std::optional<std::int64_t> tagged_length(const AVDictionary* tags) {
    const auto* e = av_dict_get(tags, "iTunSMPB", nullptr, 0);
    if (e == nullptr) return std::nullopt;
    const char* at = e->value;
    unsigned long long group = 0;
    for (int i = 0; i < 4; ++i) {
        char* end = nullptr;
        group = std::strtoull(at, &end, 16);
        if (end == at) return std::nullopt;
        at = end;
    }
    if (group == 0 || group > (1ULL << 40U)) return std::nullopt;
    return static_cast<std::int64_t>(group);
}

/// Matroska's writers put a track's length into a tag, "00:00:01.500000000".
std::optional<double> tagged_duration(const AVDictionary* tags) {
    const auto* e = av_dict_get(tags, "DURATION", nullptr, 0);
    std::int64_t microseconds = 0;
    if (e == nullptr || av_parse_time(&microseconds, e->value, 1) < 0 || microseconds <= 0)
        return std::nullopt;
    return static_cast<double>(microseconds) / 1e6;
}

/// The length of our stream as the container says it; absent where it says nothing of this one stream.
std::optional<double> FfmpegDecoder::promised_seconds() const {
    // A length that the library guessed from the bit rate is no promise.
    if (format_->duration_estimation_method == AVFMT_DURATION_FROM_BITRATE) return std::nullopt;
    const double delay_s = delay / info.rate.value();
    if (const auto tagged = tagged_duration(stream_->metadata)) return *tagged - delay_s;
    if (stream_->duration != AV_NOPTS_VALUE && stream_->duration > 0)
        return static_cast<double>(stream_->duration) * av_q2d(stream_->time_base) -
               (info.container == "ogg" ? delay_s : 0.0);
    if (format_->nb_streams == 1 && format_->duration != AV_NOPTS_VALUE && format_->duration > 0)
        return static_cast<double>(format_->duration) / AV_TIME_BASE;
    return std::nullopt;
}

void FfmpegDecoder::find_promised_length() {
    const auto seconds = promised_seconds();
    if (!seconds || !(*seconds > 0) || *seconds > 1e9) return;
    promised_ = std::llround(*seconds * info.rate.value());
    info.duration = Seconds{*seconds};
    if (info.container != "mp4") return;
    // The edit list of an MP4 ends where the padding begins (ISO/IEC 14496-12, 8.6.6).
    cut_at_ = promised_;
    if (const auto n = tagged_length(format_->metadata); n && *n < *promised_) {
        cut_at_ = promised_ = n;
        info.duration = Seconds{static_cast<double>(*n) / info.rate.value()};
    }
}

void FfmpegDecoder::note_break(const std::string& why) {
    ended_ = true;
    if (!broken) broken = why;
}

/// AMR coders may send next to nothing where they hear no speech (3GPP TS 26.101 and 26.201: frame types 8
/// and above, 9 and above). The library cannot decode that. Says how many samples such a packet stands for.
int FfmpegDecoder::left_out_by_voice_coder() const {
    const bool narrow = codec_->codec_id == AV_CODEC_ID_AMR_NB;
    if (!narrow && codec_->codec_id != AV_CODEC_ID_AMR_WB) return 0;
    if (packet_->size < 1 || packet_->size > 8) return 0;
    const int type = (packet_->data[0] >> 3) & 15;
    if (type < (narrow ? 8 : 9)) return 0;
    return narrow ? 160 : 320;  // 20 ms
}

void FfmpegDecoder::stand_in_with_silence(int samples) {
    silent_ = true;
    in_frame_ = 0;
    frame_samples_ = static_cast<std::size_t>(samples);
    packets_without_sound_ = 0;
    left_out_ += samples;
    next_stamp_.reset();
    remark = "the voice coder left out " +
             in_seconds(Seconds{static_cast<double>(left_out_) / codec_->sample_rate}) +
             " as if they were silence";
}

/// Hands the next packet of our stream to the decoder, or notes that there is no more.
void FfmpegDecoder::feed() {
    const int code = av_read_frame(format_.get(), packet_.get());
    if (code < 0) {
        if (bytes_.overworked())
            broken = "it leads the reader in circles";
        else if (!bytes_.trouble().empty())
            broken = "it cannot be read further (" + bytes_.trouble() + ")";
        else if (code != AVERROR_EOF && code != AVERROR(EAGAIN))
            broken = "what follows is damaged";
        drained_ = true;
        if (avcodec_send_packet(codec_.get(), nullptr) < 0) ended_ = true;  // what the decoder still holds
        return;
    }
    int sent = 0;
    if (packet_->stream_index == stream_->index) {
        // The last packet of a cut file is marked; of plain samples its part is as good as the rest.
        const bool plain = av_get_bits_per_sample(codec_->codec_id) >= 8;
        if (!plain && position_ > 0 && (packet_->flags & AV_PKT_FLAG_CORRUPT) != 0)
            sent = AVERROR_INVALIDDATA;
        else if (const int left_out = left_out_by_voice_coder(); left_out > 0)
            stand_in_with_silence(left_out);
        else
            sent = avcodec_send_packet(codec_.get(), packet_.get());
    }
    av_packet_unref(packet_.get());
    // Before the first sound a bad packet may be a stream that we came late into; after it, time is lost.
    if (sent < 0 && sent != AVERROR(EAGAIN) && position_ > 0) note_break("what follows is damaged");
    const int most = most_packets_without_sound * (format_->nb_streams > 1 ? 100 : 1);
    if (++packets_without_sound_ > most) note_break("no more sound follows");
}

/// Phones and screen recorders sometimes lose a piece and only move the time stamps.
void FfmpegDecoder::look_for_gap() {
    const auto stamp = frame_->pts;
    if (stamp == AV_NOPTS_VALUE) return;
    const double now = static_cast<double>(stamp) * av_q2d(stream_->time_base);
    const double gap = next_stamp_ ? now - *next_stamp_ : 0.0;
    if (gap > smallest_gap_s && !remark)
        remark = "a piece of " + in_seconds(Seconds{gap}) + " is missing at " +
                 in_seconds(Seconds{static_cast<double>(position_) / frame_->sample_rate});
    next_stamp_ = now + static_cast<double>(frame_->nb_samples) / frame_->sample_rate;
}

bool FfmpegDecoder::accept_frame() {
    const auto& f = *frame_;
    const int channels = f.ch_layout.nb_channels;
    if (f.nb_samples <= 0 || f.sample_rate <= 0 || channels <= 0 || f.extended_data == nullptr) return false;
    if (info.channels != 0 &&
        (channels != info.channels || f.sample_rate != static_cast<int>(info.rate.value()))) {
        note_break("its rate or its number of channels changes there");
        return false;
    }
    look_for_gap();
    in_frame_ = 0;
    frame_samples_ = static_cast<std::size_t>(f.nb_samples);
    packets_without_sound_ = 0;
    return true;
}

bool FfmpegDecoder::next_frame() {
    frame_samples_ = in_frame_ = 0;
    silent_ = false;
    while (!ended_) {
        const int code = avcodec_receive_frame(codec_.get(), frame_.get());
        if (code == 0) {
            if (accept_frame()) return true;
        } else if (!drained_ && (code == AVERROR(EAGAIN) || (code != AVERROR_EOF && position_ == 0))) {
            feed();
            if (silent_) return true;
        } else {
            if (code != AVERROR_EOF && code != AVERROR(EAGAIN)) note_break("what follows is damaged");
            ended_ = true;
        }
    }
    // A container's duration is rounded, to a packet at worst: a tenth of a second is no break.
    if (!broken && promised_ && position_ < *promised_ - static_cast<std::int64_t>(0.1 * info.rate.value()))
        broken = "its header promises more than the file holds";
    return false;
}

std::size_t FfmpegDecoder::read(std::size_t frames, PlanarBlock& out) {
    const auto channels = static_cast<std::size_t>(info.channels);
    std::size_t done = 0;
    while (done < frames) {
        if (cut_at_ && position_ >= *cut_at_) break;
        if (in_frame_ == frame_samples_ && !next_frame()) break;
        auto n = std::min(frames - done, frame_samples_ - in_frame_);
        if (cut_at_) n = std::min(n, static_cast<std::size_t>(*cut_at_ - position_));
        const auto format = static_cast<AVSampleFormat>(frame_->format);
        const bool planar = av_sample_fmt_is_planar(format) != 0;
        const auto packed = av_get_packed_sample_fmt(format);
        for (std::size_t c = 0; c < channels; ++c) {
            if (silent_)
                out[c].resize(out[c].size() + n, 0.0F);
            else if (planar)
                append(packed, frame_->extended_data[c], in_frame_, 1, n, out[c]);
            else
                append(packed, frame_->extended_data[0], in_frame_ * channels + c, channels, n, out[c]);
        }
        in_frame_ += n;
        done += n;
        position_ += static_cast<std::int64_t>(n);
    }
    return done;
}

}  // namespace

std::unique_ptr<Decoder> open_with_ffmpeg(ByteSource& bytes, const Sniffed& sniffed) {
    return std::make_unique<FfmpegDecoder>(bytes, sniffed);
}

}  // namespace cranknote
