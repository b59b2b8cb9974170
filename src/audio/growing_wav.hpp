// A WAV file that is whole at every moment: what was written so far opens, even after kill -9.
#pragma once

#include <cstddef>
#include <memory>
#include <span>
#include <string>

#include "units/units.hpp"

namespace cranknote {

class GrowingWav {
  public:
    /// Makes `path` (float, 1 to 8 channels). Throws Error when it is there already (a recording is evidence
    /// and is never written over), or cannot be made.
    GrowingWav(const std::string& path, SampleRate rate, int channels);
    ~GrowingWav();
    GrowingWav(const GrowingWav&) = delete;
    GrowingWav& operator=(const GrowingWav&) = delete;

    /// Appends whole frames, channels interleaved, and brings the header up to date. Throws Error when there
    /// is no room left, or the file would pass 4 GB, the most that a WAV header can say.
    void append(std::span<const float> interleaved);
    /// Brings everything to the disk itself, against a power cut. May take long.
    void sync();
    [[nodiscard]] std::size_t frames() const { return frames_; }

  private:
    struct Handle;
    std::unique_ptr<Handle> handle_;
    std::string path_;
    int channels_;
    std::size_t frames_ = 0;
};

}  // namespace cranknote
