// What the makers of fault sounds share. Internal to the simulator.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "simulate/fault.hpp"

namespace cranknote::simulate {

/// One fault being made. `fixed` draws what belongs to the fault, `live` what differs from recording to
/// recording.
struct FaultScene {
    const Engine& engine;
    const Voice& voice;
    const Motion& motion;
    const Circumstances& now;
    const Fault& fault;
    Dice fixed, live;
    SlowGain speed;  ///< speed over idle speed: 0 where the engine stands

    [[nodiscard]] std::size_t samples() const { return motion.turning.turns.size(); }
    [[nodiscard]] double rate() const { return voice.rate; }
    [[nodiscard]] const std::string& part() const { return *fault.cause.part; }
    /// Turns of a name; of the crank where the layout does not know it.
    [[nodiscard]] std::vector<double> turns_of(std::string_view name) const;
    [[nodiscard]] double ratio_of(std::string_view name) const;
    [[nodiscard]] double cycle_ratio() const { return 1.0 / engine.cycle_turns(); }
    [[nodiscard]] double firing_ratio() const { return engine.cylinders / engine.cycle_turns(); }
};

using Lines = std::vector<std::pair<double, double>>;  ///< (per turn, dB re the strongest)

/// Tones at whole multiples of a shaft's turns, swelling by `depth` once per turn of `beat` (empty: steady).
[[nodiscard]] FaultSound shaft_tones(FaultScene& s, const std::string& owner, const Lines& lines,
                                     const std::string& beat, double depth);

struct Knocks {
    double ratio = 0.5;                ///< per crank turn, or per turn of `owner`
    std::string owner;                 ///< empty: the crank
    std::vector<Wave> pulses;          ///< one is taken at each knock
    double spread = 0.2;               ///< of strength, from knock to knock
    double jitter = 0.005;             ///< of the time between knocks
    double missing = 0.0;              ///< share of knocks that stay away
    std::vector<double> pattern{1.0};  ///< strengths in turn
    std::string character = "tick";
};
[[nodiscard]] FaultSound knocks(FaultScene& s, const Knocks& k);

/// Broadband noise that swells with the turns of `owner` (times `per_turn`); narrow gates scrape, wide ones
/// rustle.
struct Scrape {
    std::string owner;  ///< empty: the crank's cycle
    double per_turn = 1.0;
    double low_hz = 1200.0, high_hz = 8000.0;
    double width = 0.3;  ///< of a turn
    double floor = 0.1;  ///< what is left between, in amplitude
    std::string character = "scrape";
};
[[nodiscard]] FaultSound scrape(FaultScene& s, const Scrape& c);

/// Steady noise.
[[nodiscard]] FaultSound hiss(FaultScene& s, double low_hz, double high_hz);

// By kind; each reads scene.fault.
[[nodiscard]] FaultSound drive_fault(FaultScene& s);
[[nodiscard]] FaultSound part_fault(FaultScene& s);
[[nodiscard]] FaultSound engine_fault(FaultScene& s);
[[nodiscard]] FaultSound outside_fault(FaultScene& s);

/// A few modes with random pitches, for something that is struck.
[[nodiscard]] std::vector<Wave> struck(FaultScene& s, double low_hz, double high_hz, double decay_low,
                                       double decay_high, double attack);

}  // namespace cranknote::simulate
