// Sound files in: what a phone, a recorder or a camera wrote becomes samples, in bounded memory.
//
// What a file is, is decided by its bytes, never by its name. WAV, FLAC, Ogg (Vorbis), AIFF, CAF and AU are
// read by libsndfile; MP3, M4A/AAC, 3GP/AMR, Opus, WMA and the sound of MP4, MOV, WebM, Matroska and AVI
// video by the FFmpeg libraries. Neither library opens anything itself: both are handed the bytes of the one
// file named, so a file can never make the program open another file or an address.
//
// Not decided here: whether a recording is any good (portrait/quality), and what a codec took away.
#pragma once

#include <cstddef>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <stdexcept>
#include <stop_token>
#include <string>
#include <vector>

#include "signal/recording.hpp"
#include "units/units.hpp"

namespace cranknote {

/// The limits of what is read: lower rates hold too little of an engine, higher ones no more of it.
inline constexpr SampleRate lowest_rate{8000};
inline constexpr SampleRate highest_rate{192000};
inline constexpr int most_channels = 8;

/// What a sound file says about itself. What it does not say is absent.
struct SoundInfo {
    SampleRate rate;
    int channels = 0;
    std::optional<Seconds>
        duration;                    ///< as the container claims; absent where it does not, or cannot be true
    std::string container;           ///< "wav", "flac", "ogg", "mp3", "aiff", "caf", "au", "mp4", "amr", ...
    std::string codec;               ///< "pcm", "float", "vorbis", "opus", "aac", "amr-nb", "amr-wb", ...
    int bits = 0;                    ///< bits of a sample; 0 where the codec has none (lossy)
    std::optional<double> bit_rate;  ///< bits per second, on average
    std::optional<std::string> created;  ///< when it was recorded, as the container says (ISO 8601)
    std::string path;                    ///< the file as it was named by the caller
};

/// One channel after the other, all equally long, full scale = ±1.
using PlanarBlock = std::vector<std::vector<float>>;

class Decoder;     // one library's way of reading, audio/decoder.hpp
class ByteSource;  // the bytes of one file, audio/byte_source.hpp

/// An open sound file, read from front to end. Move-only.
class SoundFile {
  public:
    /// Opens `path`. Throws Error naming the file, the trouble and what to do: not there, no right to read
    /// it, not an ordinary file, empty, not sound, protected, no samples, a rate or a number of channels
    /// outside the limits above.
    [[nodiscard]] static SoundFile open(const std::string& path);
    /// The same for bytes in memory, which must outlive the SoundFile; `name` stands for the path.
    [[nodiscard]] static SoundFile open_memory(std::span<const std::byte> bytes, const std::string& name);

    SoundFile(SoundFile&&) noexcept;
    SoundFile& operator=(SoundFile&&) noexcept;
    ~SoundFile();

    [[nodiscard]] const SoundInfo& info() const;
    /// The next up to `frames` samples of every channel. Fewer only at the end; empty channels after it.
    /// Encoder delay and padding are left out where the container tells them. Samples that are not numbers,
    /// or beyond ±1e6, become 0, and damage() says so.
    [[nodiscard]] PlanarBlock read(std::size_t frames);
    /// Goes forward by `frames` without giving them out; says how many there were.
    std::size_t skip(std::size_t frames);
    /// Samples per channel given out or skipped so far.
    [[nodiscard]] std::size_t position() const;
    /// What is wrong with the file, as far as it was read: "the file breaks off at 12.3 s: ..."; absent:
    /// nothing.
    [[nodiscard]] std::optional<std::string> damage() const;
    /// Where the sound ends although the file promised more. Absent: it does not, or not yet.
    [[nodiscard]] std::optional<Seconds> broken_at() const;

  private:
    SoundFile(std::unique_ptr<ByteSource>, std::unique_ptr<Decoder>);
    std::unique_ptr<ByteSource> bytes_;
    std::unique_ptr<Decoder> decoder_;
    void check_pages();
    std::size_t position_ = 0;
    std::optional<std::size_t> whole_until_;  // an Ogg file with a bad page ends before it
    std::size_t not_numbers_ = 0;
    std::optional<Seconds> first_not_number_;
};

/// How far a long reading has come, 0 to 1; absent where the file does not say how long it is.
using ReadProgress = std::function<void(std::optional<double> share)>;

/// Thrown by read_stretch when its stop token was used.
struct Stopped : std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// A stretch of a file in memory, and what was seen on the way.
struct Reading {
    Recording recording;                ///< recording.start is where in the file it begins
    SoundInfo info;                     ///< of the whole file
    std::optional<std::string> damage;  ///< as SoundFile::damage, up to the end of the stretch
    std::optional<Seconds> broken_at;   ///< as SoundFile::broken_at
    bool longer = false;                ///< the stretch was cut at the longest duration allowed
};

/// What to read of a file.
struct Stretch {
    std::optional<Seconds> from = std::nullopt;  ///< absent: the beginning
    std::optional<Seconds> to = std::nullopt;    ///< absent: the end
    Seconds longest{2.0 * 3600.0};               ///< no more than this is held in memory
};

/// Reads a stretch of a sound file. Throws Error as SoundFile::open does, and where the stretch is empty or
/// begins after the end; a `to` after the end gives what there is. Throws Stopped when `stop` is used.
[[nodiscard]] Reading read_stretch(const std::string& path, const Stretch& stretch = {},
                                   const ReadProgress& progress = {}, std::stop_token stop = {});

}  // namespace cranknote
