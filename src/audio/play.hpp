// Playing: a before and an after at one level, changed mid-play, whole or a band alone, slow or in a loop.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "audio/audition.hpp"
#include "audio/mixer.hpp"
#include "units/units.hpp"

namespace cranknote {

/// What to do to a sound before it is played.
struct Treatment {
    std::optional<std::pair<Hertz, Hertz>> band;  ///< this band alone
    std::optional<Decibel> rest;  ///< with a band: what is left of everything else; absent: nothing
    bool half_speed = false;
    bool loop_loudest =
        false;          ///< round and round over the loudest second (of the band, where one is chosen)
    bool loop = false;  ///< round and round over all of it
};

/// A sound made ready to play at a rate: takes time (some 0.1 s per minute of sound), so not on a thread that
/// draws. `gain` as level_match gives it. A loud sound is turned down as far as it would clip.
[[nodiscard]] Playable take_of(const std::vector<float>& samples, SampleRate from, SampleRate to,
                               Decibel gain, const Treatment& how);

/// Turns all takes down by one factor so that none of them clips; their balance stays.
void keep_from_clipping(std::vector<Playable>& takes);

class Player {
  public:
    /// Opens an output (empty name: the usual one). Throws Error when there is none or it cannot play.
    Player(const std::string& output, SampleRate rate);
    ~Player();
    Player(const Player&) = delete;
    Player& operator=(const Player&) = delete;

    /// Plays this take from now on, without a click; nullptr: silence. Kept for as long as it is heard.
    void play(std::shared_ptr<const Playable> take);
    void rewind();
    /// 0 to 1; 0 is a pause.
    void set_gain(double gain);
    [[nodiscard]] Seconds position() const;  ///< in the original
    [[nodiscard]] bool ended() const;
    /// False when the output went away.
    [[nodiscard]] bool alive() const;
    [[nodiscard]] SampleRate rate() const;
    [[nodiscard]] const std::string& device() const;

  private:
    struct Work;
    std::unique_ptr<Work> work_;
};

}  // namespace cranknote
