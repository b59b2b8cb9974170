// There and back through a phone's file format, by the ffmpeg command; and plain WAV.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "signal/recording.hpp"

namespace cranknote::simulate {

/// A 16-bit PCM WAV file's bytes.
[[nodiscard]] std::string wav_bytes(const Recording& recording);
/// Encodes to m4a (AAC), mp4 (a black film with AAC), opus or mp3. Throws Error if there is no ffmpeg command
/// or it fails.
[[nodiscard]] std::string encode(const Recording& recording, const std::string& codec, int kbit);
/// Decodes what `encode` made, to mono at the given rate. Throws Error.
[[nodiscard]] Recording decode(const std::string& bytes, const std::string& codec, SampleRate rate);

}  // namespace cranknote::simulate
