// How often a frame is drawn: never more often than wished, however the pointer moves; a fan that spins up
// beside the microphone is a fault.
#pragma once

#include <chrono>
#include <optional>

namespace cranknote::desk {

class Pace {
  public:
    using Clock = std::chrono::steady_clock;
    /// The least time between two frames: a fifteenth of a second while recording, else a sixtieth.
    [[nodiscard]] static std::chrono::duration<double> least(bool recording);
    /// How long to wait for something to happen: not at all while frames are due, a fifteenth of a second
    /// while something plays or records, else for ever (absent).
    [[nodiscard]] static std::optional<double> wait(bool frames_due, bool moving);
    /// When the next frame may be drawn, asked at `now`; counts it as drawn then.
    [[nodiscard]] Clock::time_point next(bool recording, Clock::time_point now);

  private:
    std::optional<Clock::time_point> last_;
};

}  // namespace cranknote::desk
