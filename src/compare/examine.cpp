#include "compare/examine.hpp"

#include <algorithm>

#include "portrait/running_remarks.hpp"
#include "portrait/usability.hpp"

namespace cranknote {

Examined examine(std::span<const float> x, SampleRate rate, const FileFacts& facts,
                 const SpeedSettings& settings) {
    Examined e;
    auto& s = e.summary;
    s.file = facts.file;
    s.rate = rate;
    const Seconds length{static_cast<double>(x.size()) / rate.value()};
    s.used = {facts.start, facts.start + length};
    s.duration = std::max(facts.duration, s.used.second);
    s.speed = speed_from_sound(x, rate, settings);
    const auto running = running_remarks(s.speed, length);
    // What cannot be followed (the engine off, starting, stalling) stays out of the portrait.
    const auto [from, to] = s.speed.mean ? s.speed.running.used : std::pair{Seconds{0}, length};
    const auto sample = [&](Seconds t) {
        return std::min(x.size(), static_cast<std::size_t>(std::max(0.0, t.value() * rate.value())));
    };
    const auto used = x.subspan(sample(from), sample(to) - sample(from));
    auto speed_there = s.speed;
    for (auto& t : speed_there.track.at) t -= from;
    e.portrait = portrait_of(used, rate, speed_there);
    s.used = {facts.start + from, facts.start + to};
    for (auto& t : s.speed.track.at) t += facts.start;  // moments of the file, as `used` is
    const auto use = usability_of(used, e.portrait, {facts.codec, facts.bit_rate});
    s.quality = use.remarks;
    s.quality.insert(s.quality.begin(), running.begin(), running.end());
    e.portrait.hz_low = use.low, e.portrait.hz_high = use.high;
    if (facts.damage)
        s.quality.push_back({QualityCode::broken_file, Severity::warn, *facts.damage, std::nullopt});
    return e;
}

}  // namespace cranknote
