// Recording from a microphone into a file that is whole at every moment.
//
// Three hands: the sound card's thread only puts samples into a queue; a writer thread takes them out, writes
// them, and measures levels; the caller asks for the state whenever it likes.
// Not decided here: where in a job the file belongs, and what is heard in it.
#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "audio/meter.hpp"
#include "units/units.hpp"

namespace cranknote {

struct RecordSettings {
    std::string input;  ///< a device's name or a part of it; empty: the usual one
    int channels = 1;   ///< 1, or 2 with a pickup on the second
    SampleRate rate{48000};
    std::optional<Seconds> stop_after;    ///< stops by itself at that length, to the sample
    bool stop_when_engine_stops = false;  ///< see EngineWatch
};

/// What must be said wherever two channels can be chosen.
inline constexpr const char* two_channel_warning =
    "the second channel is only for an inductive clamp or an isolated, attenuated lead: a coil's own lead "
    "carries "
    "hundreds of volts";

enum class RecordEnd { running, asked, length_reached, engine_stopped, device_lost, no_room };

struct RecordState {
    Seconds recorded;  ///< in the file so far; 0 until the first sound arrives, which may take 2 s
    std::vector<MeterLevel> levels;  ///< one a channel
    std::size_t overruns = 0;        ///< times that sound was lost because the machine was too slow
    RecordEnd end = RecordEnd::running;
    std::optional<std::string>
        trouble;  ///< why it ended, where that was not wanted; what was recorded is kept
};

class Recorder {
  public:
    /// Begins to record into `path`, which must not be there yet. Throws Error: no such device, rate or
    /// channels not possible there, no right to write.
    Recorder(const std::string& path, const RecordSettings& settings);
    /// Stops as stop() does.
    ~Recorder();
    Recorder(const Recorder&) = delete;
    Recorder& operator=(const Recorder&) = delete;

    [[nodiscard]] RecordState state() const;
    /// The newest samples of a channel, at most `count`: for a live spectrum.
    [[nodiscard]] std::vector<float> newest(std::size_t channel, std::size_t count) const;
    [[nodiscard]] const std::string& device() const;
    /// Ends the recording, if it runs, closes the file and says how it went. More than once does no harm.
    RecordState stop();

  private:
    struct Work;
    std::unique_ptr<Work> work_;
};

}  // namespace cranknote
