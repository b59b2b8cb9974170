#include "speed/tag.hpp"

#include <cmath>

namespace cranknote {

namespace speed_detail {

std::string rounded(Rpm n) { return std::to_string(std::lround(n.value())); }

std::string percent_apart(Rpm a, Rpm b) {
    const long tenths = std::lround(1000.0 * std::abs(a / b - 1.0));
    return std::to_string(tenths / 10) + "." + std::to_string(tenths % 10) + " % apart";
}

}  // namespace speed_detail

SpeedReading speed_from_tag(const SpeedTag& tag, Seconds duration) {
    SpeedReading r;
    r.mean = tag.rpm;
    r.interval = {tag.rpm - tag.plus_minus, tag.rpm + tag.plus_minus};
    r.low = r.interval.first, r.high = r.interval.second;
    r.running.used = {Seconds{0}, duration};
    r.confidence = 0.95;  // by definition of the tag's own uncertainty
    r.source = r.mean_from = SpeedSource::entered;
    r.tag = tag;
    r.track = {{Seconds{0}, duration}, {tag.rpm, tag.rpm}};
    return r;
}

std::optional<std::string> tag_disagrees(const SpeedTag& tag, const SpeedReading& r,
                                         const std::string& says) {
    using speed_detail::rounded;
    if (!r.mean) return std::nullopt;
    const double sure = tag.plus_minus.value() + (r.interval.second - r.interval.first).value() / 2;
    if (std::abs((*r.mean - tag.rpm).value()) <= sure) return std::nullopt;
    return "Tag " + rounded(tag.rpm) + " ± " + rounded(tag.plus_minus) + ", " + says + " " +
           rounded(*r.mean) + ": " + speed_detail::percent_apart(*r.mean, tag.rpm) + ".";
}

}  // namespace cranknote
