#include "speed/from_sound.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

#include "speed/cranking.hpp"
#include "speed/evenness.hpp"
#include "speed/evidence.hpp"
#include "speed/follow.hpp"
#include "speed/multiple.hpp"
#include "speed/steadiness.hpp"
#include "speed/tag.hpp"
#include "speed/tone_alone.hpp"

namespace cranknote {

namespace {

using namespace speed_detail;

constexpr double least_confidence = 0.5;  // below it the mean is withheld and the alternatives are shown
constexpr double least_error = 0.0003;    // relative: what the grid and rounding of the refinement leave
constexpr double most_doubt = 0.5,
                 most_doubt_with_tag = 0.9;  // that an engine runs; a tag says that one does
constexpr Seconds shortest_read{0.6};
constexpr double sure = 0.95;             // nothing more is asked
constexpr double sure_of_multiple = 0.8;  // of the multiple, to say how alike the cylinders are
constexpr double same_stroke = 0.03;      // relative
constexpr Seconds unseen_time{0.15};      // of the track, at its ends together
constexpr double same_reading = 0.01;     // relative: hypotheses nearer than this are one reading

/// Probability of each distinct speed, summed over cylinder counts; with the most probable of these.
struct Reading {
    double factor;
    double probability;
    int cylinders;
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
            r.push_back({h.factor, h.probability, h.cylinders});  // the most probable first
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

Course at_multiple(Course c, double factor) {
    for (auto& f : c.cycle) f = f * factor;
    return c;
}

/// Mean over a stretch: turns over time.
Rpm mean_over(const SpeedTrack& t, std::pair<Seconds, Seconds> stretch) {
    const double minutes = (stretch.second - stretch.first).value() / 60.0;
    return Rpm{t.turns_between(stretch.first, stretch.second) / minutes};
}

/// rms of the speed around its mean, relative.
double spread_of(const SpeedTrack& t, Rpm mean) {
    double square = 0.0;
    for (const auto n : t.rpm) square += std::pow(n / mean - 1.0, 2);
    return std::sqrt(square / static_cast<double>(std::max<std::size_t>(1, t.rpm.size())));
}

/// Relative standard error of the mean: of the lines' phases, and of what the track cannot follow (its ends,
/// where a piece stands for half its length more, and what moves faster than pieces do).
double error_of_mean(const SpeedTrack& t, Rpm mean, std::pair<Seconds, Seconds> stretch, double phases) {
    const double unfollowed =
        spread_of(t, mean) * unseen_time.value() / (stretch.second - stretch.first).value();
    return std::sqrt(least_error * least_error + phases * phases + unfollowed * unfollowed);
}

void fill_from_track(SpeedReading& r, double phases) {
    const auto used = r.running.used;
    r.mean = mean_over(r.track, used);
    const Rpm half = *r.mean * (1.96 * error_of_mean(r.track, *r.mean, used, phases));
    r.interval = {*r.mean - half, *r.mean + half};
    const auto [lo, hi] = std::minmax_element(r.track.rpm.begin(), r.track.rpm.end());
    r.low = *lo, r.high = *hi;
    r.running.spread = spread_of(r.track, *r.mean);
    for (Seconds t = used.first; t + Seconds{1.0} <= used.second; t += Seconds{0.25})
        r.running.steepest =
            std::max(r.running.steepest,
                     std::abs((r.track.speed_at(t + Seconds{1.0}) - r.track.speed_at(t)) / *r.mean));
}

/// Nothing in the sound turns near the tag.
bool contradicts(const SpeedTag& tag, Rpm read) {
    return std::abs((read - tag.rpm).value()) >
           4.0 * std::max(tag.plus_minus.value(), 0.01 * tag.rpm.value());
}

/// Where no running engine is heard: whether a starter is.
void look_for_starter(SpeedReading& r, const Evidence& whole, const SpeedSettings& s, int cycle_turns) {
    const auto c = cranking_in(whole, s.cylinders, cycle_turns);
    if (c) r.running.cranking = c->stretch, r.running.cranking_speed = c->speed;
}

/// A starter's strokes are regular, and one stroke of it sounds much like a cycle of an idle: where the
/// reading is not sure and its cycle is such a stroke, it is said.
void doubt_as_starter(SpeedReading& r, const Evidence& whole, const SpeedSettings& s, int cycle_turns) {
    if (s.tag || !s.cylinders || r.confidence >= sure) return;
    const auto c = cranking_in(whole, s.cylinders, cycle_turns);
    if (!c || std::abs(*r.mean / (c->speed * *s.cylinders) - 1.0) > same_stroke) return;
    r.remarks.push_back("If the starter alone turned the engine, this is cranking at about " +
                        rounded(c->speed) + " rpm.");
}

std::string no_engine_text(const RunningStretch& running) {
    if (!running.cranking) return "Nothing in this sound repeats as a running engine does.";
    return "The starter turns the engine at about " + rounded(running.cranking_speed) +
           " rpm, but it does not fire.";
}

/// What is left where the sound does not tell: the tag, if there is one; and why.
SpeedReading without_sound(SpeedReading r, const SpeedSettings& s, Seconds duration, std::string why) {
    if (s.tag) {
        auto tagged = speed_from_tag(*s.tag, duration);
        tagged.cylinders = s.cylinders, tagged.cylinders_said = r.cylinders_said;
        tagged.alternatives = std::move(r.alternatives);
        tagged.running.no_engine = r.running.no_engine;
        tagged.running.cranking = r.running.cranking;
        tagged.running.cranking_speed = r.running.cranking_speed;
        r = std::move(tagged);
    }
    r.remarks.push_back(std::move(why));
    return r;
}

}  // namespace

SpeedReading speed_from_sound(std::span<const float> x, SampleRate rate, const SpeedSettings& s) {
    SpeedReading r;
    r.tag = s.tag, r.cylinders = s.cylinders, r.cylinders_said = s.cylinders.has_value();
    const Seconds duration{static_cast<double>(x.size()) / rate.value()};
    const int cycle_turns = s.stroke == 2 ? 1 : 2;
    if (duration < shortest_read)
        return without_sound(std::move(r), s, duration, "Too short to hear a speed in: record ten seconds.");
    auto evidence = evidence_of(x, rate);
    if (tone_alone(evidence.sound.samples)) {
        r.running.no_engine = true;
        return without_sound(std::move(r), s, duration, "This is one even tone and nothing else, no engine.");
    }
    const auto f = followed(std::move(evidence), turns_per_second(s.slowest) / cycle_turns,
                            turns_per_second(s.fastest) / cycle_turns);
    r.running = f.running;
    const auto multiples = multiples_of(f.evidence, f.course, s.cylinders, cycle_turns, s.slowest, s.fastest);
    auto readings = readings_of(multiples);
    r.running.no_engine = readings.empty() || multiples.none > (s.tag ? most_doubt_with_tag : most_doubt);
    if (r.running.no_engine) {
        look_for_starter(r, evidence_of(x, rate), s, cycle_turns);
        auto why = no_engine_text(r.running);
        return without_sound(std::move(r), s, duration, std::move(why));
    }
    const Rpm unit = mean_over(track_of(f.course, 1.0, cycle_turns, f.running.used.first), f.running.used);
    if (s.tag) weigh_by_tag(readings, unit, *s.tag);
    std::sort(readings.begin(), readings.end(),
              [](const Reading& a, const Reading& b) { return a.probability > b.probability; });
    const auto best = readings.front();
    const auto alternative = [&](const Reading& a) {
        return SpeedAlternative{unit * a.factor, a.probability,
                                s.cylinders ? std::nullopt : std::optional(a.cylinders)};
    };
    for (std::size_t i = 1; i < readings.size() && r.alternatives.size() < 4; ++i)
        if (readings[i].probability > 0.02) r.alternatives.push_back(alternative(readings[i]));
    if (s.tag && contradicts(*s.tag, unit * best.factor))
        return without_sound(std::move(r), s, duration,
                             "Tag " + rounded(s.tag->rpm) +
                                 ": nothing in the sound turns at that speed; it fits " +
                                 rounded(unit * best.factor) + " better.");
    if (best.probability < least_confidence) {
        r.alternatives.insert(r.alternatives.begin(), alternative(best));
        r.remarks.push_back(
            "Several speeds explain this sound as well: enter the speed from the dash (--rpm 820~40), or "
            "record at another speed too.");
        return r;
    }
    r.cylinders = best.cylinders;
    r.track = track_of(f.course, best.factor, cycle_turns, f.running.used.first);
    r.confidence = std::min(best.probability, 0.999);
    fill_from_track(r, f.about.error);
    if (s.tag) {
        r.source = SpeedSource::entered;
        if (auto apart = tag_disagrees(*s.tag, r, "sound says")) r.remarks.push_back(std::move(*apart));
    }
    if (r.confidence < sure) doubt_as_starter(r, evidence_of(x, rate), s, cycle_turns);
    r.steadiness = steadiness_of(r);
    r.evenness =
        evenness_of_sound(f.evidence.bass, at_multiple(f.course, best.factor), r.cylinders, s.fires_evenly);
    if (r.confidence < sure_of_multiple) {  // the lines are another multiple's, perhaps
        r.evenness = Evenness{};
        r.evenness->text =
            "How alike the cylinders fire: cannot tell. It is not sure which multiple the speed is.";
    }
    return r;
}

}  // namespace cranknote
