// What the two reading libraries have in common, seen from SoundFile.
#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <string>

#include "audio/byte_source.hpp"
#include "audio/container.hpp"
#include "audio/decode.hpp"

namespace cranknote {

class Decoder {
  public:
    virtual ~Decoder() = default;
    Decoder() = default;
    Decoder(const Decoder&) = delete;
    Decoder& operator=(const Decoder&) = delete;

    /// Appends up to `frames` samples to every channel of `out` (as many channels as info says); says how
    /// many. Fewer than asked: the end, or a break that `broken` then tells.
    virtual std::size_t read(std::size_t frames, PlanarBlock& out) = 0;
    /// Goes forward quickly where the format allows it exactly; says how many frames it went.
    virtual std::size_t skip_quickly(std::size_t) { return 0; }

    SoundInfo info;
    int delay = 0;  ///< samples of encoder delay that positions in the container count and `read` leaves out
    /// A remark on what was read, to be said with the damage: "0.3 s are missing at 5.2 s".
    std::optional<std::string> remark;
    /// Why the sound ended early, in words that follow "the file breaks off at 12.3 s: ".
    std::optional<std::string> broken;
};

/// Opens by libsndfile. Throws Error; `Error::trouble` is in a mechanic's words.
[[nodiscard]] std::unique_ptr<Decoder> open_with_sndfile(ByteSource& bytes, const Sniffed& sniffed);
/// Opens by FFmpeg. Throws Error.
[[nodiscard]] std::unique_ptr<Decoder> open_with_ffmpeg(ByteSource& bytes, const Sniffed& sniffed);

}  // namespace cranknote
