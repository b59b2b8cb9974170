#include "speed/from_sound.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <string>

#include "speed/evidence.hpp"
#include "speed/follow.hpp"
#include "speed/multiple.hpp"

namespace cranknote {

namespace {

using namespace speed_detail;

constexpr double least_confidence = 0.5;  // below it the mean is withheld and the alternatives are shown
constexpr double least_error = 0.0003;    // relative: what the grid and rounding of the refinement leave
constexpr Seconds unseen_time{0.15};      // of the track, at its ends together
constexpr double same_reading = 0.01;     // relative: hypotheses nearer than this are one reading

std::string rounded(Rpm n) { return std::to_string(static_cast<long>(std::lround(n.value()))); }

/// Probability of each distinct speed, summed over cylinder counts.
struct Reading {
    double factor;
    double probability;
};

std::vector<Reading> readings_of(const Multiples& m) {
    std::vector<Reading> r;
    for (const auto& h : m.hypotheses) {
        const auto same = std::find_if(r.begin(), r.end(), [&](const Reading& o) {
            return std::abs(o.factor / h.factor - 1.0) < same_reading;
        });
        if (same != r.end())
            same->probability += h.probability;
        else
            r.push_back({h.factor, h.probability});
    }
    return r;
}

/// A tag is a prior on the speed: normal, its ± taken as 95 %. Its tail stays open, since tags are mistyped.
void weigh_by_tag(std::vector<Reading>& r, Rpm unit, const SpeedTag& tag) {
    const double sd = std::max(tag.plus_minus.value(), 1.0) / 1.96;
    double total = 0.0;
    for (auto& x : r) {
        const double z = (unit.value() * x.factor - tag.rpm.value()) / sd;
        x.probability *= std::exp(-0.5 * std::min(z * z, 14.0));
        total += x.probability;
    }
    if (total > 0.0)
        for (auto& x : r) x.probability /= total;
}

SpeedTrack track_of(const Course& c, double factor, int cycle_turns, Seconds from) {
    SpeedTrack t;
    for (const auto at : c.at) t.at.push_back(at + from);
    for (const auto f : c.cycle) t.rpm.push_back(rpm_of_turns(f) * (factor * cycle_turns));
    return t;
}

/// Mean over a stretch: turns over time.
Rpm mean_over(const SpeedTrack& t, std::pair<Seconds, Seconds> stretch) {
    const double minutes = (stretch.second - stretch.first).value() / 60.0;
    return Rpm{t.turns_between(stretch.first, stretch.second) / minutes};
}

/// Relative standard error of the mean: of the lines' phases, and of what the track cannot follow (its ends,
/// where a piece stands for half its length more, and what moves faster than pieces do).
double error_of_mean(const SpeedTrack& t, Rpm mean, std::pair<Seconds, Seconds> stretch, double phases) {
    double square = 0.0;
    for (const auto n : t.rpm) square += std::pow(n / mean - 1.0, 2);
    const double spread = std::sqrt(square / static_cast<double>(std::max<std::size_t>(1, t.rpm.size())));
    const double unfollowed = spread * unseen_time.value() / (stretch.second - stretch.first).value();
    return std::sqrt(least_error * least_error + phases * phases + unfollowed * unfollowed);
}

void fill_from_track(SpeedReading& r, double phases) {
    const auto used = r.running.used;
    r.mean = mean_over(r.track, used);
    const Rpm half = *r.mean * (1.96 * error_of_mean(r.track, *r.mean, used, phases));
    r.interval = {*r.mean - half, *r.mean + half};
    const auto [lo, hi] = std::minmax_element(r.track.rpm.begin(), r.track.rpm.end());
    r.low = *lo, r.high = *hi;
}

void check_against_tag(SpeedReading& r, const SpeedTag& tag) {
    const double apart = std::abs(*r.mean / tag.rpm - 1.0);
    const double sure = tag.plus_minus.value() + (r.interval.second - r.interval.first).value() / 2;
    if (std::abs((*r.mean - tag.rpm).value()) <= sure) return;
    char percent[32];
    std::snprintf(percent, sizeof percent, "%.1f %% apart", 100.0 * apart);
    std::string p = percent;
    std::replace(p.begin(), p.end(), ',', '.');
    r.remarks.push_back("Tag " + rounded(tag.rpm) + " ± " + rounded(tag.plus_minus) + ", sound says " +
                        rounded(*r.mean) + ": " + p + ".");
}

}  // namespace

SpeedReading speed_from_tag(const SpeedTag& tag, Seconds duration) {
    SpeedReading r;
    r.mean = tag.rpm;
    r.interval = {tag.rpm - tag.plus_minus, tag.rpm + tag.plus_minus};
    r.low = r.interval.first, r.high = r.interval.second;
    r.running.used = {Seconds{0}, duration};
    r.confidence = 0.95;  // by definition of the tag's own uncertainty
    r.source = SpeedSource::entered;
    r.track = {{Seconds{0}, duration}, {tag.rpm, tag.rpm}};
    return r;
}

SpeedReading speed_from_sound(std::span<const float> x, SampleRate rate, const SpeedSettings& s) {
    SpeedReading r;
    const Seconds duration{static_cast<double>(x.size()) / rate.value()};
    const int cycle_turns = s.stroke == 2 ? 1 : 2;
    const auto give_up = [&] { return s.tag ? speed_from_tag(*s.tag, duration) : r; };
    if (duration.value() < 0.6) return give_up();
    const Hertz lowest = turns_per_second(s.slowest) / cycle_turns,
                highest = turns_per_second(s.fastest) / cycle_turns;
    const auto f = followed(evidence_of(x, rate), lowest, highest);
    r.running = f.running;
    if (f.course.at.empty()) return give_up();
    const auto multiples = multiples_of(f.evidence, f.course, s.cylinders, cycle_turns, s.slowest, s.fastest);
    const auto used = f.running.used;
    auto readings = readings_of(multiples);
    const Rpm unit = mean_over(track_of(f.course, 1.0, cycle_turns, used.first), used);
    if (s.tag) weigh_by_tag(readings, unit, *s.tag);
    std::sort(readings.begin(), readings.end(),
              [](const Reading& a, const Reading& b) { return a.probability > b.probability; });
    if (readings.empty()) return give_up();

    const auto& best = readings.front();
    const bool contradicts =
        s.tag && std::abs((unit * best.factor - s.tag->rpm).value()) >
                     4.0 * std::max(s.tag->plus_minus.value(), 0.01 * s.tag->rpm.value());
    for (std::size_t i = 1; i < readings.size() && r.alternatives.size() < 4; ++i)
        if (readings[i].probability > 0.02)
            r.alternatives.push_back({unit * readings[i].factor, readings[i].probability});
    if (contradicts || (s.tag && multiples.none > 0.5)) {
        auto tagged = speed_from_tag(*s.tag, duration);
        if (contradicts && multiples.none < 0.5)
            tagged.remarks.push_back("Tag " + rounded(s.tag->rpm) +
                                     ": nothing in the sound turns at that speed; it fits " +
                                     rounded(unit * best.factor) + " better.");
        tagged.alternatives = r.alternatives;
        return tagged;
    }
    r.track = track_of(f.course, best.factor, cycle_turns, used.first);
    r.confidence = std::min(best.probability, 0.999);
    if (best.probability < least_confidence) {
        r.alternatives.insert(r.alternatives.begin(), {unit * best.factor, best.probability});
        r.confidence = 0.0;
        r.track = {};
        if (multiples.none < 0.5)
            r.remarks.push_back(
                "Several speeds explain this sound as well: enter the speed from the dash (--rpm 820~40), or "
                "record at another speed too.");
        return r;
    }
    fill_from_track(r, f.about.error);
    if (s.tag) {
        r.source = SpeedSource::entered;
        check_against_tag(r, *s.tag);
    }
    return r;
}

}  // namespace cranknote
