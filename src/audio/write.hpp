// Sound files out: clips for the note, stretches for a colleague.
#pragma once

#include <string>

#include "signal/recording.hpp"

namespace cranknote {

enum class SampleCoding { pcm16, pcm24, float32 };

/// Writes a WAV file (RIFF; RF64 above 4 GB). Values beyond full scale are cut off in pcm16 and pcm24.
/// Whole or not at all: written beside `path` under another name, brought to the disk, then renamed; an
/// existing file is replaced. Throws Error naming the file (no right, no room, no samples, 1 to 8 channels).
void write_wav(const std::string& path, const Recording& recording,
               SampleCoding coding = SampleCoding::pcm16);

/// The same as FLAC, lossless, 16 or 24 bits; float32 is a wrong call.
void write_flac(const std::string& path, const Recording& recording,
                SampleCoding coding = SampleCoding::pcm16);

}  // namespace cranknote
