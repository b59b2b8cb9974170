// What a sound card gets to play: one of several takes at a time, changed without a click. Pure, and safe to
// be asked by one thread while another fills buffers.
#pragma once

#include <atomic>
#include <cstddef>
#include <span>
#include <vector>

#include "units/units.hpp"

namespace cranknote {

/// A sound ready to play, at the sound card's rate. Does not change while a Mixer knows it.
struct Playable {
    std::vector<float> samples;
    double gain = 1.0;  ///< factor on the samples
    double pace = 1.0;  ///< samples per sample of the original: 2 for half speed
    bool loop = false;  ///< from the end on at the beginning again; else silence after the end
};

class Mixer {
  public:
    explicit Mixer(SampleRate rate);

    /// Changes over to a take within 10 ms, at the same moment of the original (within its length, where it
    /// is shorter or a loop); nullptr: to silence. The take must stay until in_use() denies it.
    void choose(const Playable* take);
    /// From the beginning of the chosen take again.
    void rewind();
    /// Loudness of everything, changed within 10 ms: 0 is a pause that keeps the place.
    void set_gain(double gain);

    [[nodiscard]] bool in_use(const Playable* take) const;
    /// Where in the original the playing is, in its samples.
    [[nodiscard]] double position() const { return position_.load(std::memory_order_relaxed); }
    /// True once a take without loop has come to its end.
    [[nodiscard]] bool ended() const { return ended_.load(std::memory_order_relaxed); }

    /// The next samples, the same on each of `channels` interleaved channels. Called by the sound card's
    /// thread: takes no lock and no memory.
    void fill(std::span<float> out, std::size_t channels);

  private:
    struct Voice {
        const Playable* take = nullptr;
        std::size_t at = 0;
    };
    void change_over();
    static float next(Voice& voice);
    [[nodiscard]] bool at_end(const Voice& voice) const;

    std::size_t fade_;  // samples of a change
    Voice now_, before_;
    std::size_t fading_ = 0;  // samples left of a change
    double gain_ = 1.0;
    std::atomic<const Playable*> wanted_{nullptr};
    std::atomic<const Playable*> playing_{nullptr}, leaving_{nullptr};
    std::atomic<bool> rewind_{false}, ended_{false};
    std::atomic<double> wanted_gain_{1.0}, position_{0.0};
};

}  // namespace cranknote
