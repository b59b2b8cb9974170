#include "job/examine_file.hpp"

#include <algorithm>

namespace cranknote {

Examined examine_file(const std::string& path, Stretch stretch, const SpeedSettings& settings,
                      std::stop_token stop) {
    stretch.longest = std::min(stretch.longest, longest_analysed);
    const auto reading = read_stretch(path, stretch, {}, stop);
    const auto& sound = reading.recording;
    const Seconds end = sound.start + sound.duration();
    FileFacts facts{path,
                    reading.info.duration.value_or(end),
                    sound.start,
                    reading.info.codec,
                    reading.info.bit_rate,
                    reading.damage};
    return examine(loudest_channel(sound), sound.rate, facts, settings);
}

}  // namespace cranknote
