#include "speed/together.hpp"

#include <algorithm>
#include <cmath>
#include <string>

namespace cranknote {

namespace {

// Judgement, not measured: seven pairs in ten are of one idle, which moves by an eighth with loads and
// warmth; the others may differ by a factor of two either way.
constexpr double same_idle = 0.7, idle_spread = 0.12, any_spread = 0.8;
constexpr double stands_out = 0.8;
constexpr double as_sure_as_any = 0.999;

struct Candidate {
    Rpm rpm;
    double probability;
};

std::vector<Candidate> candidates_of(const SpeedReading& r) {
    std::vector<Candidate> c;
    if (r.mean) c.push_back({*r.mean, r.confidence});
    for (const auto& a : r.alternatives) c.push_back({a.rpm, a.confidence});
    return c;
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
    } else if (c.front().probability > stands_out) {
        r.remarks.push_back("With the other recordings of this engine, " +
                            std::to_string(std::lround(c.front().rpm.value())) +
                            " rpm is the most probable: enter it if the dash agrees.");
    }
    for (std::size_t i = r.mean ? 1 : 0; i < c.size(); ++i)
        r.alternatives.push_back({c[i].rpm, c[i].probability});
}

}  // namespace

std::vector<SpeedReading> readings_together(std::vector<SpeedReading> readings) {
    std::vector<std::vector<Candidate>> before;
    for (const auto& r : readings) before.push_back(candidates_of(r));
    for (std::size_t i = 0; i < readings.size(); ++i) {
        if (readings[i].source != SpeedSource::sound || before[i].size() < 2) continue;
        auto mine = before[i];
        double left = 1.0, sum = 0.0;  // what no candidate holds stays unexplained
        for (const auto& c : mine) left -= c.probability;
        for (std::size_t j = 0; j < readings.size(); ++j) {
            if (j == i || before[j].empty()) continue;
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

}  // namespace cranknote
