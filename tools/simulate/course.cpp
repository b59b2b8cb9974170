#include "simulate/course.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <tuple>

namespace cranknote::simulate {

namespace {

constexpr double control_rate = 100.0;  // Hz: nothing but the ripple within a cycle is faster
constexpr double cranking_rpm = 210.0;

double linear(const std::vector<std::pair<double, double>>& points, double t) {
    if (t <= points.front().first) return points.front().second;
    for (std::size_t i = 1; i < points.size(); ++i)
        if (t < points[i].first) {
            const auto& [t0, y0] = points[i - 1];
            const auto& [t1, y1] = points[i];
            return y0 + (y1 - y0) * (t - t0) / (t1 - t0);
        }
    return points.back().second;
}

/// Noise below about `corner` Hz with unit expected rms: two equal one-pole low passes on white noise.
class SlowNoise {
  public:
    SlowNoise(double corner, Dice dice)
        : dice_(dice), pole_(std::exp(-2.0 * std::numbers::pi * corner / control_rate)) {
        // Variance of white noise through two one-pole low passes of gain 1 - p each.
        const double p2 = pole_ * pole_;
        gain_ = 1.0 / std::sqrt(std::pow(1.0 - pole_, 4) * (1.0 + p2) / std::pow(1.0 - p2, 3));
        for (int i = 0; i < static_cast<int>(4.0 * control_rate / corner); ++i) next();
    }
    double next() {
        a_ = pole_ * a_ + (1.0 - pole_) * dice_.normal();
        b_ = pole_ * b_ + (1.0 - pole_) * a_;
        return gain_ * b_;
    }

  private:
    Dice dice_;
    double pole_, gain_ = 1.0, a_ = 0.0, b_ = 0.0;
};

std::vector<double> control_speeds(const Course& course, Dice dice) {
    SlowNoise wander(0.22, dice.fork("wander"));
    SlowNoise cycles(4.0, dice.fork("cycles"));
    const double phase = dice.fork("hunt").uniform(0.0, 2.0 * std::numbers::pi);
    std::vector<double> rpm(static_cast<std::size_t>(course.seconds * control_rate) + 3);
    for (std::size_t i = 0; i < rpm.size(); ++i) {
        const double t = static_cast<double>(i) / control_rate;
        const double hunt =
            course.hunt_depth * std::sin(2.0 * std::numbers::pi * t / course.hunt_period + phase);
        const double free = 1.0 + course.wander * wander.next() + course.cycle_spread * cycles.next() + hunt;
        rpm[i] = std::max(0.0, linear(course.rpm, t) * free);
    }
    return rpm;
}

/// Angle by which the crank leads its mean through one cycle, in turns, at 800 rpm: firing, and its own
/// unevenness.
std::vector<float> lead_table(const Engine& engine, double ripple, Dice dice) {
    constexpr std::size_t points = 2048;
    const double firing = engine.cylinders;  // per cycle
    std::vector<float> table(points + 1);
    for (int k = 1; k <= 2 * engine.cylinders; ++k) {
        const bool main = engine.even_firing ? k % engine.cylinders == 0 : true;
        const double depth = ripple * (main ? firing / k : 0.06 * dice.uniform());
        const double phase = dice.uniform(0.0, 2.0 * std::numbers::pi);
        // Speed ripple d cos(2 pi k c) integrates to d sin(2 pi k c) / (2 pi k) cycles.
        const double lead = depth * engine.cycle_turns() / (2.0 * std::numbers::pi * k);
        for (std::size_t i = 0; i <= points; ++i)
            table[i] += static_cast<float>(
                lead * std::sin(2.0 * std::numbers::pi * k * static_cast<double>(i) / points + phase));
    }
    return table;
}

void add_lead(Turning& turning, const std::vector<float>& table, double cycle_turns) {
    const auto points = static_cast<double>(table.size() - 1);
    for (std::size_t i = 0; i < turning.turns.size(); ++i) {
        const double cycles = turning.turns[i] / cycle_turns;
        const double at = (cycles - std::floor(cycles)) * points;
        const auto j = static_cast<std::size_t>(at);
        const float w = static_cast<float>(at) - static_cast<float>(j);
        const auto slow = static_cast<std::size_t>(static_cast<double>(i) / turning.rate * control_rate);
        const float n = std::max(turning.rpm[slow], 400.0F) / 800.0F;
        turning.turns[i] += static_cast<double>((table[j] + (table[j + 1] - table[j]) * w) / (n * n));
    }
}

std::pair<double, double> running_span(const Course& c) {
    if (c.name == "off") return {0.0, 0.0};
    return {std::max(0.0, c.caught_at), std::min(c.seconds, c.stop_at)};
}

}  // namespace

Course idle_course(double rpm, double seconds, double wander) {
    Course c;
    c.seconds = seconds;
    c.rpm = {{0.0, rpm}};
    c.wander = wander;
    return c;
}

Course hunting_course(double rpm, double seconds, Dice& dice) {
    Course c = idle_course(rpm, seconds, 0.008);
    c.name = "hunting";
    c.hunt_depth = dice.uniform(0.02, 0.07);
    c.hunt_period = dice.uniform(1.5, 5.0);
    return c;
}

Course step_course(double rpm, double seconds, Dice& dice) {
    Course c = idle_course(rpm, seconds, 0.007);
    c.name = "step";
    const double at = seconds * dice.uniform(0.3, 0.7);
    const double to = rpm * (1.0 + (dice.chance(0.5) ? 1.0 : -0.6) * dice.uniform(0.04, 0.12));
    c.rpm = {{0.0, rpm}, {at, rpm}, {at + dice.uniform(0.2, 1.0), to}};
    return c;
}

Course run_up_course(double rpm, double top, double seconds, Dice& dice) {
    Course c = idle_course(rpm, seconds, 0.004);
    c.name = "run-up";
    const double begin = seconds * dice.uniform(0.1, 0.25);
    const double reached = begin + (top - rpm) / 300.0;
    const double held = reached + dice.uniform(0.5, 2.0);
    c.rpm = {{0.0, rpm}, {begin, rpm}, {reached, top}, {held, top}, {held + (top - rpm) / 500.0, rpm}};
    return c;
}

Course cold_course(double from, double to, double since_start, double seconds) {
    Course c = idle_course(from, seconds, 0.007);
    c.name = "cold";
    // Falls a little faster at first, as a warming engine does.
    c.rpm.clear();
    for (int i = 0; i <= 30; ++i) {
        const double t = i - since_start;
        const double x = i / 30.0;
        c.rpm.emplace_back(t, from + (to - from) * (1.35 * x - 0.35 * x * x));
    }
    return c;
}

Course start_course(double rpm, double seconds, Dice& dice) {
    Course c = idle_course(rpm, seconds, 0.008);
    c.name = "start";
    c.start_at = dice.uniform(0.5, 2.0);
    c.caught_at = c.start_at + dice.uniform(0.5, 1.4);
    const double flare = rpm * dice.uniform(1.2, 1.7);
    c.rpm = {{0.0, 0.0},
             {c.start_at, 0.0},
             {c.start_at + 0.15, cranking_rpm},
             {c.caught_at, cranking_rpm},
             {c.caught_at + 0.4, flare},
             {c.caught_at + 0.9, flare},
             {c.caught_at + dice.uniform(1.8, 3.0), rpm}};
    return c;
}

Course shut_off_course(double rpm, double seconds, double stop_at) {
    Course c = idle_course(rpm, seconds, 0.008);
    c.name = "shut-off";
    c.stop_at = stop_at;
    c.rpm = {{0.0, rpm}, {stop_at, rpm}, {stop_at + 0.35, 0.5 * rpm}, {stop_at + 0.8, 0.0}};
    return c;
}

Course stall_course(double rpm, double seconds, Dice& dice) {
    Course c = shut_off_course(rpm, seconds, seconds * dice.uniform(0.6, 0.8));
    c.name = "stall";
    const double sag = c.stop_at - dice.uniform(1.0, 2.0);
    c.rpm = {{0.0, rpm}, {sag, rpm}, {c.stop_at, 0.62 * rpm}, {c.stop_at + 0.5, 0.0}};
    c.wander = 0.015;
    return c;
}

Course off_course(double seconds) {
    Course c = idle_course(0.0, seconds, 0.0);
    c.name = "off";
    return c;
}

double Turning::rpm_at(double t) const {
    const double at = std::clamp(t * control_rate, 0.0, static_cast<double>(rpm.size() - 1));
    const auto i = std::min(static_cast<std::size_t>(at), rpm.size() - 2);
    const double w = at - static_cast<double>(i);
    return static_cast<double>(rpm[i]) * (1.0 - w) + static_cast<double>(rpm[i + 1]) * w;
}

Turning turn(const Engine& engine, const Course& course, double rate, double ripple, Dice dice) {
    const auto speeds = control_speeds(course, dice);
    Turning t;
    t.rate = rate;
    t.rpm.assign(speeds.begin(), speeds.end());
    t.turns.resize(static_cast<std::size_t>(course.seconds * rate));
    double turns = dice.uniform(0.0, 2.0);
    for (std::size_t i = 0; i < t.turns.size(); ++i) {
        t.turns[i] = turns;
        const double at = static_cast<double>(i) / rate * control_rate;
        const auto j = static_cast<std::size_t>(at);
        turns += (speeds[j] + (speeds[j + 1] - speeds[j]) * (at - static_cast<double>(j))) / 60.0 / rate;
    }
    add_lead(t, lead_table(engine, ripple, Dice(engine.seed).fork("ripple")), engine.cycle_turns());
    std::tie(t.running_from, t.running_to) = running_span(course);
    if (course.start_at >= 0.0) t.cranking_from = course.start_at;
    return t;
}

std::vector<float> crept_turns(const Turning& turning, const TrueDrive& drive, double creep, Dice dice) {
    SlowNoise slow(0.05, dice.fork(drive.name));
    std::vector<float> crept(turning.turns.size());
    double lost = 0.0, now = slow.next(), next = slow.next();
    std::size_t control = 0;
    for (std::size_t i = 1; i < crept.size(); ++i) {
        const double at = static_cast<double>(i) / turning.rate * control_rate;
        while (static_cast<double>(control + 1) <= at) {
            ++control;
            now = next;
            next = slow.next();
        }
        const double wander = now + (next - now) * (at - static_cast<double>(control));
        lost += creep * std::max(0.0, 1.0 + 0.2 * wander) * (turning.turns[i] - turning.turns[i - 1]);
        crept[i] = static_cast<float>(lost);
    }
    return crept;
}

void fill_speed_truth(const Turning& turning, const Course& course, TakeTruth& truth) {
    const auto turns_at = [&](double t) {
        const double at = std::clamp(t * turning.rate, 0.0, static_cast<double>(turning.turns.size() - 1));
        const auto i = std::min(static_cast<std::size_t>(at), turning.turns.size() - 2);
        return turning.turns[i] + (turning.turns[i + 1] - turning.turns[i]) * (at - static_cast<double>(i));
    };
    truth.course = course.name;
    truth.running = {Seconds{turning.running_from}, Seconds{turning.running_to}};
    double low = 1e9, high = 0.0;
    for (int k = 0; k * 0.1 <= turning.seconds(); ++k) {
        const double t = 0.1 * k;
        const double slow = turning.rpm_at(t);
        const double half = slow > 60.0 ? 60.0 / slow : 0.5;  // one turn to each side: 720 degrees
        const double from = std::max(0.0, t - half), to = std::min(turning.seconds(), t + half);
        const double rpm = (turns_at(to) - turns_at(from)) / (to - from) * 60.0;
        truth.track.at.emplace_back(t);
        truth.track.rpm.emplace_back(rpm);
        if (!turning.running_at(t)) continue;
        low = std::min(low, rpm);
        high = std::max(high, rpm);
    }
    const double seconds = turning.running_to - turning.running_from;
    if (seconds <= 0.0) return;
    truth.mean = Rpm{(turns_at(turning.running_to) - turns_at(turning.running_from)) / seconds * 60.0};
    truth.low = Rpm{low};
    truth.high = Rpm{high};
    truth.wander = course.wander;
}

std::vector<double> passings(const std::vector<double>& turns, double ratio, double offset) {
    std::vector<double> at;
    double before = turns.empty() ? 0.0 : turns.front() * ratio + offset;
    double next = std::floor(before) + 1.0;
    for (std::size_t i = 1; i < turns.size(); ++i) {
        const double now = turns[i] * ratio + offset;
        while (now >= next) {
            at.push_back(static_cast<double>(i) - 1.0 + (next - before) / (now - before));
            next += 1.0;
        }
        before = now;
    }
    return at;
}

}  // namespace cranknote::simulate
