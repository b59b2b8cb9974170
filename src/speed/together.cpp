#include "speed/together.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

namespace cranknote {

namespace {

// Judgement, not measured: seven pairs in ten are of one idle, which moves by an eighth with loads and
// warmth; the others may differ by a factor of two either way.
constexpr double same_idle = 0.7, idle_spread = 0.12, any_spread = 0.8;
constexpr double sure_enough_to_help = 0.9;  // to help others
constexpr double stands_out = 0.8;           // to be read again
constexpr double as_sure_as_any = 0.999;
constexpr double tag_width = 0.015;  // relative: the tag for reading again; multiples lie 12 % apart at least
constexpr double same_multiple = 0.02;

struct Candidate {
    Rpm rpm;
    double probability;
    std::optional<int> cylinders = std::nullopt;
};

std::vector<Candidate> candidates_of(const SpeedReading& r) {
    std::vector<Candidate> c;
    if (r.mean) c.push_back({*r.mean, r.confidence, r.cylinders_said ? std::nullopt : r.cylinders});
    for (const auto& a : r.alternatives) c.push_back({a.rpm, a.confidence, a.cylinders});
    return c;
}

bool helps(const SpeedReading& r) {
    return r.mean && (r.source != SpeedSource::sound || r.confidence >= sure_enough_to_help);
}

double normal(double x, double sd) { return std::exp(-0.5 * x * x / (sd * sd)) / sd; }

/// How likely it is that one engine is recorded at both speeds, up to a factor.
double likely(Rpm a, Rpm b) {
    const double x = std::log(a / b);
    return same_idle * normal(x, idle_spread) + (1.0 - same_idle) * normal(x, any_spread);
}

void scale(SpeedReading& r, double by) {
    r.mean = *r.mean * by;
    r.interval = {r.interval.first * by, r.interval.second * by};
    r.low = r.low * by, r.high = r.high * by;
    r.track = r.track.scaled(by);
}

void apply(SpeedReading& r, std::vector<Candidate> c) {
    std::sort(c.begin(), c.end(),
              [](const Candidate& a, const Candidate& b) { return a.probability > b.probability; });
    r.alternatives.clear();
    if (r.mean) {
        scale(r, c.front().rpm / *r.mean);
        r.confidence = std::min(c.front().probability, as_sure_as_any);
        r.cylinders = c.front().cylinders ? c.front().cylinders : r.cylinders;
    }
    for (std::size_t i = r.mean ? 1 : 0; i < c.size(); ++i)
        r.alternatives.push_back({c[i].rpm, c[i].probability, c[i].cylinders});
}

}  // namespace

std::vector<SpeedReading> readings_together(std::vector<SpeedReading> readings) {
    std::vector<std::vector<Candidate>> before;
    for (const auto& r : readings) before.push_back(candidates_of(r));
    const auto alone = readings;  // who helps is judged by what each said alone
    for (std::size_t i = 0; i < readings.size(); ++i) {
        if (readings[i].source != SpeedSource::sound || before[i].size() < 2) continue;
        auto mine = before[i];
        double left = 1.0, sum = 0.0;  // what no candidate holds stays unexplained
        for (const auto& c : mine) left -= c.probability;
        for (std::size_t j = 0; j < readings.size(); ++j) {
            if (j == i || !helps(alone[j])) continue;
            for (auto& c : mine) {
                double with = 0.0;
                for (const auto& o : before[j]) with += o.probability * likely(c.rpm, o.rpm);
                c.probability *= with;
            }
        }
        for (const auto& c : mine) sum += c.probability;
        if (!(sum > 0.0)) continue;
        for (auto& c : mine) c.probability *= (1.0 - std::clamp(left, 0.0, 1.0)) / sum;
        apply(readings[i], std::move(mine));
    }
    return readings;
}

std::vector<PointedTo> pointed_to(const std::vector<SpeedReading>& alone,
                                  const std::vector<SpeedReading>& together) {
    std::vector<PointedTo> out;
    for (std::size_t i = 0; i < std::min(alone.size(), together.size()); ++i) {
        const auto& now = together[i];
        if (alone[i].source != SpeedSource::sound) continue;
        std::optional<SpeedAlternative> best;
        if (now.mean)
            best = SpeedAlternative{*now.mean, now.confidence};
        else if (!now.alternatives.empty())
            best = now.alternatives.front();
        if (!best || best->confidence < stands_out) continue;
        if (alone[i].mean && std::abs(best->rpm / *alone[i].mean - 1.0) < same_multiple) continue;
        out.push_back({i, {best->rpm, best->rpm * tag_width}, std::min(best->confidence, as_sure_as_any)});
    }
    return out;
}

std::optional<SpeedReading> settled_by_others(SpeedReading r, const PointedTo& by) {
    if (!r.mean || r.source != SpeedSource::entered || r.mean_from != SpeedSource::sound) return std::nullopt;
    r.source = SpeedSource::sound;
    r.tag.reset();
    r.confidence = std::min(r.confidence, by.confidence);
    r.remarks.emplace_back("Which multiple it is was settled by the other recordings of this engine.");
    return r;
}

}  // namespace cranknote
