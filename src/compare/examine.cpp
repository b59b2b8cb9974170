#include "compare/examine.hpp"

#include <algorithm>

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
    e.portrait = portrait_of(x, rate, s.speed);
    const auto use = usability_of(x, e.portrait, {facts.codec, facts.bit_rate});
    s.quality = use.remarks;
    e.portrait.hz_low = use.low, e.portrait.hz_high = use.high;
    if (facts.damage)
        s.quality.push_back({QualityCode::broken_file, Severity::warn, *facts.damage, std::nullopt});
    return e;
}

}  // namespace cranknote
