// The engine's own complaints, the clutch, and what is outside.
#include <algorithm>
#include <cmath>

#include "simulate/background.hpp"
#include "simulate/fault_scene.hpp"

namespace cranknote::simulate {

namespace {

FaultSound valve(FaultScene& s) {
    Knocks k{s.cycle_ratio(), "", struck(s, 1500.0, 9000.0, 0.0006, 0.003, 0.00006)};
    k.spread = s.fixed.uniform(0.08, 0.3);
    k.jitter = 0.003;
    return knocks(s, k);
}

FaultSound knock(FaultScene& s) {
    Knocks k{s.cycle_ratio(), "", struck(s, 220.0, 2600.0, 0.0015, 0.007, 0.0003)};
    if (s.fault.variant == "once a turn") {
        k.ratio = 1.0;
        k.pattern = {1.0, s.fixed.uniform(0.45, 0.95)};
        if (s.engine.stroke == 2) k.pattern = {1.0};
    }
    k.spread = s.fixed.uniform(0.1, 0.35);
    k.jitter = 0.004;
    return knocks(s, k);
}

FaultSound slap(FaultScene& s) {
    Knocks k{s.cycle_ratio(), "", struck(s, 250.0, 2000.0, 0.0015, 0.005, 0.0006)};
    for (auto& pulse : k.pulses) {
        const Wave once = pulse;
        pulse.resize(pulse.size() + static_cast<std::size_t>(0.02 * s.rate()));
        add_at(pulse, s.fixed.uniform(0.008, 0.019) * s.rate(), static_cast<float>(s.fixed.uniform(0.1, 0.5)),
               once);
    }
    k.spread = s.fixed.uniform(0.15, 0.4);
    k.jitter = 0.01;
    return knocks(s, k);
}

FaultSound injector(FaultScene& s) {
    const bool all = s.fault.variant == "all";
    Knocks k{all ? s.firing_ratio() : s.cycle_ratio(), "",
             struck(s, 2500.0, 11000.0, 0.0003, 0.0012, 0.00004)};
    if (all)
        for (int i = 1; i < s.engine.cylinders; ++i) k.pattern.push_back(s.fixed.uniform(0.7, 1.2));
    k.spread = 0.1;
    k.jitter = 0.002;
    return knocks(s, k);
}

FaultSound exhaust(FaultScene& s) {
    const bool port = s.fault.variant == "port";
    Knocks k{port ? s.cycle_ratio() : s.firing_ratio(), "", {}};
    for (std::uint64_t i = 0; i < 6; ++i)
        k.pulses.push_back(burst(s.fixed.ratio(300.0, 900.0), s.fixed.ratio(2500.0, 6000.0), 0.0015,
                                 s.fixed.ratio(0.003, 0.009), s.rate(), s.fixed.fork("puff", i)));
    if (!port)
        for (int i = 1; i < s.engine.cylinders; ++i) k.pattern.push_back(s.fixed.uniform(0.6, 1.2));
    k.spread = s.fixed.uniform(0.1, 0.3);
    k.jitter = 0.008;
    auto f = knocks(s, k);
    f.truth.character_or = {"scrape", "hiss"};
    return f;
}

FaultSound intake(FaultScene& s) {
    auto f = hiss(s, s.fixed.ratio(1200.0, 3000.0), s.fixed.ratio(6000.0, 12000.0));
    if (s.fault.variant == "hiss") return f;
    const double hz = s.fixed.ratio(900.0, 3800.0), share = s.fixed.uniform(1.0, 2.5);
    double phase = 0.0, drift = 0.0;
    for (std::size_t i = 0; i < f.wave.size(); ++i) {
        if (i % 480 == 0) drift = 0.98 * drift + 0.0008 * s.live.normal();
        phase += hz * (1.0 + drift) / s.rate();
        f.wave[i] = 0.6F * f.wave[i] + static_cast<float>(share * std::sin(6.283185307 * phase)) *
                                           std::min(1.0F, 2.0F * s.speed.at(i, s.rate()));
        if (phase > 1.0) phase -= 1.0;
    }
    f.truth.character = "tone";
    f.truth.character_or = {"hiss"};
    f.truth.follows = "fixed";
    return f;
}

/// What one cylinder does not give: its own pulses, taken away.
FaultSound weak_cylinder(FaultScene& s) {
    const auto& c =
        s.voice.cylinders[static_cast<std::size_t>(s.fixed.pick(static_cast<int>(s.voice.cylinders.size())))];
    FaultSound f;
    f.wave.resize(s.samples());
    const double share = s.fixed.uniform(0.4, 0.9), erratic = s.fixed.uniform(0.1, 0.35);
    for (const double at :
         passings(s.motion.turning.turns, s.cycle_ratio(), -c.at_deg / 360.0 * s.cycle_ratio())) {
        const double less = -c.gain * std::clamp(share + erratic * s.live.normal(), 0.0, 1.0);
        add_at(f.wave, at, static_cast<float>(less), c.thump);
        const double rpm = s.motion.turning.rpm_at(at / s.rate());
        if (rpm > 1.0) add_at(f.wave, at + 140.0 * s.rate() / (rpm * 6.0), static_cast<float>(less), c.puff);
    }
    for (std::size_t i = 0; i < f.wave.size(); ++i)
        if (!s.motion.turning.running_at(static_cast<double>(i) / s.rate())) f.wave[i] = 0.0F;
    f.most = 1.0 / share;
    f.truth.character = "tick";
    f.truth.character_or = {"tone", "scrape", "hiss"};
    f.truth.beat_ratio = Ratio{s.cycle_ratio()};
    for (int k = 2; k <= 8; ++k) f.truth.beat_ratio_or.emplace_back(k * s.cycle_ratio());
    f.truth.ratio_or = f.truth.beat_ratio_or;
    f.truth.follows = "crank";
    f.truth.beat_follows = "crank";
    return f;
}

FaultSound clutch_end(FaultScene& s) {
    Scrape c{"",
             s.engine.cycle_turns() * s.fixed.uniform(3.3, 6.6),
             500.0,
             6000.0,
             s.fixed.uniform(0.25, 0.5),
             s.fixed.uniform(0.15, 0.5),
             "scrape"};
    auto f = scrape(s, c);
    f.truth.character_or = {"hiss"};
    return f;
}

FaultSound buzz(FaultScene& s) {
    Knocks k{s.firing_ratio(), "", struck(s, 400.0, 3500.0, 0.006, 0.02, 0.0005)};
    k.spread = 0.4;
    k.jitter = 0.02;
    auto f = knocks(s, k);
    f.truth.character_or = {"scrape", "tone"};
    f.truth.beat_ratio_or.emplace_back(s.cycle_ratio());
    return f;
}

FaultSound fuel_pump(FaultScene& s) {
    FaultSound f;
    f.wave.resize(s.samples());
    const double hz = s.fixed.ratio(180.0, 700.0), second = s.fixed.uniform(0.2, 1.0),
                 sixth = s.fixed.uniform(0.1, 0.7);
    const TurnTable table(
        {{1, 1.0, 0.0}, {2, second, 1.0}, {3, 0.5 * second, 2.0}, {6, sixth, 3.0}, {7, 0.5 * sixth, 0.4}});
    double phase = 0.0, drift = 0.0;
    for (std::size_t i = 0; i < f.wave.size(); ++i) {
        if (i % 480 == 0) drift = 0.99 * drift + 0.0004 * s.live.normal();
        phase += hz * (1.0 + drift) / s.rate();
        f.wave[i] = table.at(phase);
    }
    return f;
}

}  // namespace

FaultSound outside_fault(FaultScene& s) {
    FaultSound f;
    if (s.fault.variant == "fuel pump")
        f = fuel_pump(s);
    else
        f.wave = disturbance(s.fault.variant, s.samples(), s.rate(), s.fixed.fork("outside"),
                             s.live.fork("outside"));
    f.truth.character = "tone";
    if (s.fault.variant != "hum") f.truth.character_or = {"scrape", "hiss"};
    f.truth.follows = "fixed";
    f.truth.beat_follows = "unknown";
    return f;
}

FaultSound engine_fault(FaultScene& s) {
    const auto& kind = s.fault.cause.kind;
    if (kind == "valve") return valve(s);
    if (kind == "knock") return knock(s);
    if (kind == "slap") return slap(s);
    if (kind == "injector") return injector(s);
    if (kind == "exhaust") return exhaust(s);
    if (kind == "intake") return intake(s);
    if (kind == "firing") return weak_cylinder(s);
    if (kind == "clutch") return clutch_end(s);
    return buzz(s);
}

}  // namespace cranknote::simulate
