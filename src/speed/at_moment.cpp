#include "speed/at_moment.hpp"

#include <cmath>

namespace cranknote {

namespace {

/// With one decimal, or two where one would be another moment; whatever the locale.
std::string seconds_text(Seconds t) {
    const long hundredths = std::lround(t.value() * 100.0), part = hundredths % 100;
    std::string text = std::to_string(hundredths / 100) + "." + std::to_string(part / 10);
    if (part % 10 != 0) text += std::to_string(part % 10);
    return text + " s";
}

std::string stretch_text(std::pair<Seconds, Seconds> s) {
    return seconds_text(s.first) + " to " + seconds_text(s.second);
}

}  // namespace

SpeedAtMoment speed_at_moment(const SpeedReading& r, Seconds t, std::pair<Seconds, Seconds> read) {
    const auto& run = r.running;
    const auto outside = [t](std::pair<Seconds, Seconds> s) { return t < s.first || t > s.second; };
    if (outside(read)) return {{}, "only " + stretch_text(read) + " was read, not " + seconds_text(t)};
    if (run.no_engine && r.source == SpeedSource::sound) return {{}, "no running engine is heard"};
    if ((run.starts && t < *run.starts) || (run.stops && t > *run.stops))
        return {{}, "engine not running at " + seconds_text(t)};
    if (!r.mean || r.track.empty()) return {{}, "the speed of this recording is not known"};
    if (outside(run.used))
        return {
            {},
            "the speed can be followed from " + stretch_text(run.used) + " only, not at " + seconds_text(t)};
    return {r.track.speed_at(t), {}};
}

}  // namespace cranknote
