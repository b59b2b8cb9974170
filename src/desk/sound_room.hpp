// Microphone and loudspeaker of the window.
#pragma once

#include <memory>
#include <optional>
#include <string>

#include "audio/play.hpp"
#include "desk/frame.hpp"

namespace cranknote::desk {

class SoundRoom {
  public:
    /// Begins to record into a file. Throws Error.
    void record(const std::string& file);
    /// Ends it; absent if nothing was recorded.
    std::optional<RecordState> stop_recording();
    [[nodiscard]] bool recording() const { return recorder_ != nullptr; }

    /// Plays what was made ready; the player is opened by the thread that made it.
    void play(std::shared_ptr<Player> player, std::shared_ptr<const Playable> what, bool b,
              std::string recording);
    void stop_playing();
    [[nodiscard]] std::shared_ptr<Player> player() const { return player_; }

    /// How it stands now; also notices that a sound came to its end.
    [[nodiscard]] Live live();
    void set_rpm(std::optional<Rpm> rpm) { rpm_ = rpm; }
    /// The last four seconds once a second while recording, to read the crank speed of; else empty.
    [[nodiscard]] std::vector<float> stretch_for_speed();

  private:
    std::unique_ptr<Recorder> recorder_;
    std::shared_ptr<Player> player_;
    bool playing_ = false, b_ = false;
    std::string recording_id_;
    std::optional<Rpm> rpm_;
    double speed_asked_at_ = 0.0;
};

}  // namespace cranknote::desk
