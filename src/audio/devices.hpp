// The machine's sound inputs and outputs, by PortAudio.
#pragma once

#include <string>
#include <vector>

#include "units/units.hpp"

namespace cranknote {

/// PortAudio, started; stopped when the last of these goes. Its libraries' chatter on stderr is kept away
/// while they start. Throws Error when there is no sound system.
class SoundSystem {
  public:
    SoundSystem();
    ~SoundSystem();
    SoundSystem(const SoundSystem&) = delete;
    SoundSystem& operator=(const SoundSystem&) = delete;
};

struct SoundDevice {
    int index = 0;     ///< PortAudio's number; changes when devices come and go
    std::string name;  ///< what is shown and asked for
    int channels = 0;  ///< as many at most
    SampleRate usual_rate;
    bool usual = false;  ///< the one taken when none is named
};

/// What can be recorded from. Empty: nothing (no sound card, or another program has it).
[[nodiscard]] std::vector<SoundDevice> inputs(const SoundSystem& system);
/// What can be played on.
[[nodiscard]] std::vector<SoundDevice> outputs(const SoundSystem& system);

/// The device of that name; a part of it is enough, in any case of letters, where only one fits; an exact
/// name goes first. Empty name: the usual one, or the first. Throws Error that lists the names when none or
/// more than one fits.
[[nodiscard]] SoundDevice choose(const std::vector<SoundDevice>& devices, const std::string& name);

/// Turns stderr off for as long as it lives: sound libraries print there when they open a device.
class QuietStderr {
  public:
    QuietStderr();
    ~QuietStderr();
    QuietStderr(const QuietStderr&) = delete;
    QuietStderr& operator=(const QuietStderr&) = delete;

  private:
    int kept_ = -1;
};

}  // namespace cranknote
