// What the crank does through time.
#pragma once

#include <string>
#include <vector>

#include "simulate/dice.hpp"
#include "simulate/engine.hpp"
#include "simulate/truth.hpp"

namespace cranknote::simulate {

/// The speed that a governor, a foot or a warming engine asks for, and how well the engine keeps it.
struct Course {
    std::string name = "idle";
    double seconds = 12.0;
    std::vector<std::pair<double, double>> rpm;  ///< (s, rpm), linear between; outside the nearest
    double wander = 0.01;                        ///< rms of the wander slower than 1 Hz, relative
    double hunt_depth = 0.0;                     ///< peak, relative; with hunt_period a slow regular swing
    double hunt_period = 3.0;                    ///< s
    double cycle_spread = 0.002;                 ///< rms of speed from cycle to cycle, relative
    double start_at = -1.0;                      ///< s: the starter engages; negative: it ran before
    double caught_at = -1.0;                     ///< s: it fires by itself
    double stop_at = 1e9;                        ///< s: fuel off; it turns out within a second
};

[[nodiscard]] Course idle_course(double rpm, double seconds, double wander);
[[nodiscard]] Course hunting_course(double rpm, double seconds, Dice& dice);
[[nodiscard]] Course step_course(double rpm, double seconds, Dice& dice);
/// Up at 300 rpm/s from idle to `top`, held a little, and back.
[[nodiscard]] Course run_up_course(double rpm, double top, double seconds, Dice& dice);
/// A cold idle that falls from `from` to `to` over 30 s; the recording begins `since_start` s after the
/// start.
[[nodiscard]] Course cold_course(double from, double to, double since_start, double seconds);
[[nodiscard]] Course start_course(double rpm, double seconds, Dice& dice);
[[nodiscard]] Course shut_off_course(double rpm, double seconds, double stop_at);
[[nodiscard]] Course stall_course(double rpm, double seconds, Dice& dice);
[[nodiscard]] Course off_course(double seconds);

/// The crank's turning, sample by sample.
struct Turning {
    double rate = 48000.0;
    std::vector<double> turns;  ///< crank turns since the first sample, ripple within the cycle included
    std::vector<float> rpm;     ///< slow speed (no ripple) at 100 Hz
    double running_from = 0.0, running_to = 0.0;  ///< s: it fires by itself
    double cranking_from = -1.0;  ///< s: the starter turns it until running_from; negative: no

    [[nodiscard]] double seconds() const { return static_cast<double>(turns.size()) / rate; }
    [[nodiscard]] double rpm_at(double t) const;
    [[nodiscard]] bool running_at(double t) const { return t >= running_from && t < running_to; }
};

/// Turns a course into turning. `ripple` is the peak relative speed ripple within the cycle at 800 rpm; it
/// falls with the square of speed (the same torque against the same flywheel).
[[nodiscard]] Turning turn(const Engine& engine, const Course& course, double rate, double ripple, Dice dice);

/// Turns of the crank pulley that a drive's creep has eaten, sample by sample: creep wanders slowly by a
/// fifth.
[[nodiscard]] std::vector<float> crept_turns(const Turning& turning, const TrueDrive& drive, double creep,
                                             Dice dice);

/// Fills speed truth: track over two turns at 0.1 s steps, mean, low, high, running, course, wander.
void fill_speed_truth(const Turning& turning, const Course& course, TakeTruth& truth);

/// Moments, in samples, at which turns * ratio + offset passes a whole number.
[[nodiscard]] std::vector<double> passings(const std::vector<double>& turns, double ratio, double offset);

}  // namespace cranknote::simulate
