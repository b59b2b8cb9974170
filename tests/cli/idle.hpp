// A recording for commands that read the crank speed.
#pragma once

#include <string>

#include "audio/write.hpp"
#include "speed/engine_sound.hpp"

namespace cranknote::test {

/// A four-cylinder idling at 823 rpm, ten seconds of WAV.
inline void write_idle(const std::string& path) {
    EngineSound e;
    e.rate = 16000.0;
    Recording r;
    r.rate = SampleRate{e.rate};
    r.channels.push_back(engine_sound(e, steady(823.0)));
    write_wav(path, r);
}

}  // namespace cranknote::test
