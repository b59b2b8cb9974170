#include "job/examine_file.hpp"

#include <algorithm>

#include "units/error.hpp"

namespace cranknote {

namespace {

FileFacts facts_of(const Reading& reading, const std::string& path) {
    const auto& sound = reading.recording;
    const Seconds end = sound.start + sound.duration();
    return {path,
            reading.info.duration.value_or(end),
            sound.start,
            reading.info.codec,
            reading.info.bit_rate,
            reading.damage};
}

/// Takes the pickup's channel out of the recording.
std::vector<float> taken_out(Recording& r, int channel, const std::string& path) {
    const auto count = std::ssize(r.channels);
    if (count < 2)
        throw Error("there is one channel only, so none holds a pickup", path,
                    "give the pickup's own file, or leave --pickup out", Error::Kind::wrong_call);
    if (channel < 0 || channel >= count)
        throw Error("there is no channel " + std::to_string(channel + 1), path,
                    "it has " + std::to_string(count), Error::Kind::wrong_call);
    auto pickup = std::move(r.channels[static_cast<std::size_t>(channel)]);
    r.channels.erase(r.channels.begin() + channel);
    return pickup;
}

}  // namespace

Examined examine_file(const std::string& path, Stretch stretch, const SpeedSettings& settings,
                      std::stop_token stop, const std::optional<PickupChoice>& pickup) {
    stretch.longest = std::min(stretch.longest, longest_analysed);
    auto reading = read_stretch(path, stretch, {}, stop);
    const auto facts = facts_of(reading, path);
    auto& sound = reading.recording;
    if (!pickup) return examine(loudest_channel(sound), sound.rate, facts, settings);
    if (pickup->channel) {
        const auto trace = taken_out(sound, *pickup->channel, path);
        return examine(loudest_channel(sound), sound.rate, facts, settings,
                       PickupTrace{trace, sound.rate, true, pickup->how});
    }
    const auto apart = read_stretch(pickup->file, {{}, {}, longest_analysed}, {}, stop);
    return examine(loudest_channel(sound), sound.rate, facts, settings,
                   PickupTrace{loudest_channel(apart.recording), apart.recording.rate, false, pickup->how});
}

}  // namespace cranknote
