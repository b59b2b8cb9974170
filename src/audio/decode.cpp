#include "audio/decode.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "audio/decoder.hpp"
#include "units/error.hpp"

namespace cranknote {
namespace {

constexpr float largest_sample = 1e6F;        // 120 dB over full scale: no microphone, a broken file
constexpr double fewest_bits_per_second = 8;  // below any codec's silence: a claim that cannot be true

/// A known container with another coding inside, or a header whose writer was killed.
std::unique_ptr<Decoder> open_plain(ByteSource& bytes, const Sniffed& sniffed) {
    std::unique_ptr<Decoder> opened;
    std::optional<Error> first;
    try {
        opened = open_with_sndfile(bytes, sniffed);
        if (opened->info.duration) return opened;
    } catch (const Error& e) {
        first = e;
    }
    try {
        return open_with_ffmpeg(bytes, sniffed);
    } catch (const Error&) {
        if (first) throw *first;
        return opened;
    }
}

std::unique_ptr<Decoder> open_decoder(ByteSource& bytes) {
    const auto sniffed = sniff(bytes);
    if (sniffed.family == Family::refused)
        throw Error("not a sound file but " + sniffed.what, bytes.name(), "name the recording itself");
    if (const auto claim = header_claim(bytes, sniffed); claim.channels == 0)
        throw Error("its header says it has no channels", bytes.name(), "copy or record the file again");
    return sniffed.family == Family::plain ? open_plain(bytes, sniffed) : open_with_ffmpeg(bytes, sniffed);
}

void require_limits(const SoundInfo& info) {
    const auto hz = std::to_string(std::lround(info.rate.value()));
    if (info.channels < 1)
        throw Error("its header says it has no channels", info.path, "copy or record the file again");
    if (info.channels > most_channels)
        throw Error("it has " + std::to_string(info.channels) + " channels, more than 8", info.path,
                    "export the microphone's channels alone");
    if (info.rate < lowest_rate)
        throw Error("its sample rate of " + hz + " Hz is below 8000 Hz", info.path,
                    "record at 44100 or 48000 Hz");
    if (info.rate > highest_rate)
        throw Error("its sample rate of " + hz + " Hz is above 192000 Hz", info.path,
                    "record at 44100 or 48000 Hz");
}

/// Fills in what follows from the file's size, and drops a length that cannot be true.
void complete(SoundInfo& info, std::int64_t bytes) {
    const auto bits = 8.0 * static_cast<double>(bytes);
    if (info.duration &&
        !(info.duration->value() > 0 && info.duration->value() * fewest_bits_per_second < bits))
        info.duration.reset();
    if (!info.bit_rate && info.duration) info.bit_rate = bits / info.duration->value();
}

}  // namespace

SoundFile::SoundFile(std::unique_ptr<ByteSource> bytes, std::unique_ptr<Decoder> decoder)
    : bytes_(std::move(bytes)), decoder_(std::move(decoder)) {
    require_limits(decoder_->info);
    complete(decoder_->info, bytes_->size());
    if (decoder_->info.container == "ogg") check_pages();
}

void SoundFile::check_pages() {
    const auto pages = ogg_soundness(*bytes_);
    if (pages.whole) return;
    whole_until_ = static_cast<std::size_t>(std::max<std::int64_t>(pages.samples - decoder_->delay, 0));
    if (info().duration &&
        info().duration->value() < static_cast<double>(*whole_until_) / info().rate.value())
        decoder_->info.duration.reset();
}

SoundFile::SoundFile(SoundFile&&) noexcept = default;
SoundFile& SoundFile::operator=(SoundFile&& other) noexcept {
    decoder_ = std::move(other.decoder_);  // first: it uses the bytes
    bytes_ = std::move(other.bytes_);
    position_ = other.position_;
    whole_until_ = other.whole_until_;
    not_numbers_ = other.not_numbers_;
    first_not_number_ = other.first_not_number_;
    return *this;
}
SoundFile::~SoundFile() = default;

SoundFile SoundFile::open(const std::string& path) {
    auto bytes = ByteSource::of_file(path);
    auto decoder = open_decoder(*bytes);
    return {std::move(bytes), std::move(decoder)};
}

SoundFile SoundFile::open_memory(std::span<const std::byte> data, const std::string& name) {
    auto bytes = ByteSource::of_memory(data, name);
    auto decoder = open_decoder(*bytes);
    return {std::move(bytes), std::move(decoder)};
}

const SoundInfo& SoundFile::info() const { return decoder_->info; }
std::size_t SoundFile::position() const { return position_; }

PlanarBlock SoundFile::read(std::size_t frames) {
    PlanarBlock block(static_cast<std::size_t>(info().channels));
    if (whole_until_ && frames >= *whole_until_ - position_) {
        frames = *whole_until_ - position_;
        if (!decoder_->broken) decoder_->broken = "what follows is missing or damaged";
    }
    const auto got = decoder_->read(frames, block);
    for (std::size_t c = 0; c < block.size(); ++c)
        for (std::size_t i = 0; i < got; ++i) {
            auto& x = block[c][i];
            if (std::abs(x) <= largest_sample) continue;  // false for what is not a number
            x = 0.0F;
            ++not_numbers_;
            if (!first_not_number_)
                first_not_number_ = Seconds{static_cast<double>(position_ + i) / info().rate.value()};
        }
    position_ += got;
    return block;
}

std::size_t SoundFile::skip(std::size_t frames) {
    auto gone = decoder_->skip_quickly(frames);
    position_ += gone;
    while (gone < frames) {
        const auto want = std::min<std::size_t>(frames - gone, 65536);
        const auto got = read(want).front().size();
        gone += got;
        if (got < want) break;
    }
    return gone;
}

std::optional<Seconds> SoundFile::broken_at() const {
    if (!decoder_->broken) return std::nullopt;
    return Seconds{static_cast<double>(position_) / info().rate.value()};
}

std::optional<std::string> SoundFile::damage() const {
    std::string text;
    if (const auto at = broken_at())
        text = "the file breaks off at " + in_seconds(*at) + ": " + *decoder_->broken + "; read up to there";
    if (decoder_->remark) text += (text.empty() ? "" : "; ") + *decoder_->remark;
    if (not_numbers_ > 0) {
        if (!text.empty()) text += "; ";
        text += std::to_string(not_numbers_) + " samples from " + in_seconds(*first_not_number_) +
                " on are not numbers and were set to silence";
    }
    return text.empty() ? std::nullopt : std::optional(text);
}

}  // namespace cranknote
