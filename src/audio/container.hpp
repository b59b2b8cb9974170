// What the first bytes of a file say it is, and what its header promises. Reads nothing but bytes.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "audio/byte_source.hpp"
#include "units/units.hpp"

namespace cranknote {

/// Which reader a file goes to first.
enum class Family {
    plain,    ///< libsndfile's formats
    phone,    ///< FFmpeg's formats
    unknown,  ///< not recognised: FFmpeg may look for a stream without header (bare AAC)
    refused,  ///< recognised as something that holds no sound, or only names other files
};

struct Sniffed {
    Family family = Family::unknown;
    std::string what;  ///< "wav", "flac", ...; for refused what it is: "a picture", "a playlist", ...
};

/// Decides by content (magic numbers of the formats' own descriptions), never by the file's name.
[[nodiscard]] Sniffed sniff(ByteSource& bytes);

/// What a WAV, RF64, W64, AIFF or CAF header says about its samples.
struct HeaderClaim {
    std::optional<int> channels;
    std::optional<std::int64_t> samples_end;  ///< where in the file the samples should end
};
/// Walks over the chunks; absent fields where there is no such chunk or the writer left the length open
/// (0 or all ones, as streaming writers do).
[[nodiscard]] HeaderClaim header_claim(ByteSource& bytes, const Sniffed& sniffed);

/// "12.3 s", whatever the locale.
[[nodiscard]] std::string in_seconds(Seconds t);

/// How far an Ogg file is whole (RFC 3533: pages with a checksum each, numbered, the last one marked).
struct OggSoundness {
    bool whole = false;        ///< every page of the first stream is there, up to the one marked as the last
    std::int64_t samples = 0;  ///< position, in samples, at the end of the last good page
};
/// Reads every page once (some 0.3 s for an hour).
[[nodiscard]] OggSoundness ogg_soundness(ByteSource& bytes);

}  // namespace cranknote
