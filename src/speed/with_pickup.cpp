#include "speed/with_pickup.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

#include "speed/evenness.hpp"
#include "speed/steadiness.hpp"

namespace cranknote {

namespace {

using speed_detail::rounded;

// Of the sound's reading, to say how many pulses there are to a turn.
constexpr double sure_enough_to_count = 0.8;
constexpr double same_speed = 0.01;    // relative
constexpr double least_apart = 0.005;  // two recordings of one idle are no nearer

void fill_about(PickupSettings& how, const SpeedSettings& s, const SpeedReading& heard) {
    how.cylinders = s.cylinders.value_or(how.cylinders);
    how.stroke = s.stroke;
    if (how.about) return;
    if (s.tag)
        how.about = s.tag->rpm;
    else if (heard.mean && heard.confidence >= sure_enough_to_count)
        how.about = *heard.mean;
}

/// The cylinders in firing order from the one with the pulse; empty where that is not known.
std::vector<int> from_the_pulse(const SpeedSettings& s, const PickupSettings& how, const PickupReading& p) {
    auto order = s.firing_order;
    const bool once_a_cycle = std::abs(p.pulses_per_turn * p.cycle_turns - 1.0) < 1e-6;
    if (!how.cylinder || !once_a_cycle) return {};
    const auto first = std::find(order.begin(), order.end(), *how.cylinder);
    if (first == order.end()) return {};
    std::rotate(order.begin(), first, order.end());
    return order;
}

Evenness evenness_with(std::span<const float> sound, SampleRate rate, const SpeedSettings& s,
                       const PickupSettings& how, const PickupReading& p) {
    if (s.cylinders && s.fires_evenly)
        return evenness_by_cylinder(sound, rate, p, *s.cylinders, from_the_pulse(s, how, p));
    Evenness e;
    e.from = SpeedSource::pickup;
    e.text = "How alike the cylinders fire: cannot tell. ";
    e.text += s.cylinders ? "This engine fires unevenly by design."
                          : "Say how many cylinders there are (--cylinders, --layout).";
    return e;
}

/// Pulses and sound that do not go together: mostly another number of pulses to a turn than was said.
void check_against_sound(SpeedReading& r, const SpeedReading& heard) {
    if (!heard.mean || heard.confidence < sure_enough_to_count) return;
    if (std::abs(*r.mean / *heard.mean - 1.0) <= same_speed) return;
    r.remarks.push_back("Pickup says " + rounded(*r.mean) + ", sound says " + rounded(*heard.mean) +
                        ": is the number of pulses to a turn right (--pulses)?");
}

}  // namespace

SpeedReading speed_with_pickup(std::span<const float> sound, std::span<const float> pickup, SampleRate rate,
                               const SpeedSettings& s, PickupSettings how) {
    auto heard = speed_from_sound(sound, rate, s);
    fill_about(how, s, heard);
    const auto p = speed_from_pickup(pickup, rate, how);
    if (!p.speed.mean) {
        heard.remarks.insert(heard.remarks.end(), p.speed.remarks.begin(), p.speed.remarks.end());
        return heard;
    }
    auto r = p.speed;
    r.tag = s.tag, r.cylinders = s.cylinders, r.cylinders_said = s.cylinders.has_value();
    if (p.inferred && !s.tag && how.about) r.confidence = std::min(r.confidence, heard.confidence);
    check_against_sound(r, heard);
    if (s.tag)
        if (auto apart = tag_disagrees(*s.tag, r, "pickup says")) r.remarks.push_back(std::move(*apart));
    r.steadiness = steadiness_of(r);
    r.evenness = evenness_with(sound, rate, s, how, p);
    return r;
}

SpeedReading speed_with_pickup_apart(std::span<const float> sound, SampleRate rate,
                                     std::span<const float> pickup, SampleRate pickup_rate,
                                     const SpeedSettings& s, PickupSettings how) {
    const auto heard = speed_from_sound(sound, rate, s);
    fill_about(how, s, heard);
    const auto p = speed_from_pickup(pickup, pickup_rate, how);
    auto r = heard;
    if (!p.speed.mean) {
        r.remarks.insert(r.remarks.end(), p.speed.remarks.begin(), p.speed.remarks.end());
        return r;
    }
    const Rpm mean = *p.speed.mean, reach = std::max(p.speed.high - mean, mean - p.speed.low);
    auto with = s;
    with.tag = SpeedTag{mean, std::max(reach, mean * least_apart)};
    r = speed_from_sound(sound, rate, with);
    r.source = SpeedSource::pickup, r.tag = s.tag;
    if (r.mean_from == SpeedSource::entered) {  // the sound did not tell: the pulses' own numbers
        r.mean = mean, r.interval = p.speed.interval;
        r.low = p.speed.low, r.high = p.speed.high;
        r.mean_from = SpeedSource::pickup;
    }
    // What it says of a tag is about the pickup here.
    std::erase_if(r.remarks, [](const std::string& t) { return t.starts_with("Tag "); });
    r.confidence = std::min(p.speed.confidence, 0.999);
    r.remarks.push_back("The pickup was recorded apart and says " + rounded(mean) +
                        ": it settles the speed, not the moments, since two recorders drift.");
    if (s.tag)
        if (auto apart = tag_disagrees(*s.tag, r, "pickup says")) r.remarks.push_back(std::move(*apart));
    return r;
}

}  // namespace cranknote
