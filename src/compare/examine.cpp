#include "compare/examine.hpp"

#include <algorithm>
#include <utility>

#include "portrait/running_remarks.hpp"
#include "portrait/usability.hpp"
#include "speed/with_pickup.hpp"

namespace cranknote {

namespace {

/// The same reading with all its moments `by` later.
SpeedReading later(SpeedReading r, Seconds by) {
    for (auto& t : r.track.at) t += by;
    r.running.used = {r.running.used.first + by, r.running.used.second + by};
    for (auto* t : {&r.running.starts, &r.running.stops})
        if (*t) **t += by;
    if (r.running.cranking)
        r.running.cranking = {r.running.cranking->first + by, r.running.cranking->second + by};
    return r;
}

SpeedReading speed_of(std::span<const float> x, SampleRate rate, const SpeedSettings& settings,
                      const std::optional<PickupTrace>& pickup) {
    if (!pickup) return speed_from_sound(x, rate, settings);
    if (pickup->same_recorder) return speed_with_pickup(x, pickup->x, rate, settings, pickup->how);
    return speed_with_pickup_apart(x, rate, pickup->x, pickup->rate, settings, pickup->how);
}

}  // namespace

Examined examine(std::span<const float> x, SampleRate rate, const FileFacts& facts,
                 const SpeedSettings& settings, const std::optional<PickupTrace>& pickup) {
    Examined e;
    auto& s = e.summary;
    s.file = facts.file;
    s.rate = rate;
    const Seconds length{static_cast<double>(x.size()) / rate.value()};
    s.used = {facts.start, facts.start + length};
    s.duration = std::max(facts.duration, s.used.second);
    s.speed = speed_of(x, rate, settings, pickup);
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
    s.speed = later(std::move(s.speed), facts.start);  // moments of the file, as `used` is
    const auto running = running_remarks(s.speed, length);
    const auto use = usability_of(used, e.portrait, {facts.codec, facts.bit_rate});
    s.quality = use.remarks;
    s.quality.insert(s.quality.begin(), running.begin(), running.end());
    e.portrait.hz_low = use.low, e.portrait.hz_high = use.high;
    if (facts.damage)
        s.quality.push_back({QualityCode::broken_file, Severity::warn, *facts.damage, std::nullopt});
    return e;
}

}  // namespace cranknote
