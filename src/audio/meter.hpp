// What a level meter shows while recording, and whether the engine was shut off. Knows no clock: time is
// samples.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "units/units.hpp"

namespace cranknote {

/// A moment of one channel's level, re full scale. Absent: digital silence, or nothing came yet.
struct MeterLevel {
    std::optional<Decibel> peak;       ///< of the last 50 ms
    std::optional<Decibel> peak_hold;  ///< the highest of the last 1.5 s
    std::optional<Decibel> rms;        ///< of the last 0.3 s
    std::size_t clipped = 0;           ///< samples at full scale so far, in runs of three or more
};

class LevelMeter {
  public:
    explicit LevelMeter(SampleRate rate);
    void feed(std::span<const float> samples);
    [[nodiscard]] MeterLevel level() const;

  private:
    void close_block();
    struct Block {
        float peak = 0;
        double energy = 0;
    };
    std::size_t block_size_;
    std::vector<Block> blocks_;  // the last 1.5 s, newest last
    Block open_;
    std::size_t in_open_ = 0;
    std::size_t run_ = 0;
    std::size_t clipped_ = 0;
};

/// What to do about a level while recording; absent when it is good. "Too close or too loud: ..."
[[nodiscard]] std::optional<std::string> advice_on(const MeterLevel& level);

/// Notices that an engine that was running was shut off.
class EngineWatch {
  public:
    explicit EngineWatch(SampleRate rate);
    void feed(std::span<const float> samples);
    /// True from when the last 2 s were at least 15 dB below the median level of what came before, of which
    /// there must be 3 s. (Common practice: an idling engine near a phone stands 20 dB or more above a shop.)
    [[nodiscard]] bool stopped() const { return stopped_; }

  private:
    void close_block();
    std::size_t block_size_;
    double energy_ = 0;
    std::size_t in_block_ = 0;
    std::vector<double> levels_;  // dB, a tenth of a second each
    bool stopped_ = false;
};

}  // namespace cranknote
