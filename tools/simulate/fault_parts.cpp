// Bearings, pumps, fans, the alternator, covers that are touched, things that rattle.
#include <algorithm>
#include <cmath>

#include "simulate/fault_scene.hpp"

namespace cranknote::simulate {

namespace {

/// A defect in a rolling bearing: a train of blows with slip and jitter, swelling as it comes through the
/// loaded zone, over some growl (Randall & Antoni, MSSP 25 (2011)).
FaultSound bearing(FaultScene& s, const TruePart& p) {
    const auto rates = rates_of(*p.bearing);
    const auto& race = s.fault.variant;
    const double kinematic = race == "outer race"   ? rates.outer
                             : race == "inner race" ? rates.inner
                                                    : rates.ball;
    Knocks k;
    k.owner = p.name;
    k.ratio = kinematic * (1.0 - s.fixed.uniform(0.0, 0.018));
    k.pulses = struck(s, 1500.0, 8500.0, 0.0003, 0.0018, 0.00004);
    k.spread = s.fixed.uniform(0.15, 0.5);
    k.jitter = s.fixed.uniform(0.005, 0.02);
    auto f = knocks(s, k);
    const bool turning_race = (race == "inner race") != p.bearing->outer_turns;
    const double zone = race == "ball" ? rates.cage : turning_race ? 1.0 : 0.0;
    const auto turns = s.turns_of(p.name);
    const double depth = zone > 0.0 ? s.fixed.uniform(0.4, 0.95) : s.fixed.uniform(0.0, 0.15);
    const TurnTable swell([depth](double t) { return 1.0 + depth * std::sin(6.283185307 * t); }, 256);
    for (std::size_t i = 0; i < f.wave.size(); ++i) f.wave[i] *= swell.at(turns[i] * std::max(zone, 0.3819));
    Wave growl = coloured(s.samples(),
                          {Biquad::high_pass(700.0, 0.7, s.rate()), Biquad::low_pass(7000.0, 0.7, s.rate())},
                          s.live.fork("growl"));
    for (std::size_t i = 0; i < growl.size(); ++i) growl[i] *= swell.at(turns[i]);
    const double share = s.fixed.uniform(0.1, 0.6);  // growl against blows, in amplitude
    add(f.wave, growl, share * std::sqrt(mean_power(f.wave)));
    for (std::size_t i = 0; i < f.wave.size(); ++i) f.wave[i] *= std::min(1.5F, s.speed.at(i, s.rate()));
    const double part = s.ratio_of(p.name);
    for (const double x : {1.0, rates.cage, k.ratio - 1.0, k.ratio + 1.0})
        f.truth.beat_ratio_or.emplace_back(x * part);
    f.truth.character = "scrape";
    f.truth.character_or = {"hiss", "tick"};
    return f;
}

FaultSound pump(FaultScene& s, const TruePart& p) {
    if (s.fault.variant == "cavitation") {
        Scrape c{p.name, static_cast<double>(p.vanes), 700.0,
                 6500.0, s.fixed.uniform(0.3, 0.6),    s.fixed.uniform(0.3, 0.9),
                 "hiss"};
        auto f = scrape(s, c);
        f.truth.character_or = {"scrape"};
        return f;
    }
    if (p.plungers > 0) {
        Knocks k;
        k.owner = p.name;
        k.ratio = p.plungers;
        k.pulses = struck(s, 500.0, 4500.0, 0.0008, 0.004, 0.0001);
        k.spread = 0.12;
        for (int i = 1; i < p.plungers; ++i) k.pattern.push_back(s.fixed.uniform(0.4, 1.0));
        return knocks(s, k);
    }
    const double n = std::max({p.vanes, p.pistons, p.lobes});
    const Lines lines{{n, -s.fixed.uniform(0.0, 6.0)},      {2 * n, -s.fixed.uniform(0.0, 10.0)},
                      {3 * n, -s.fixed.uniform(0.0, 14.0)}, {4 * n, -s.fixed.uniform(4.0, 18.0)},
                      {5 * n, -s.fixed.uniform(8.0, 22.0)}, {n + 1, -s.fixed.uniform(12.0, 25.0)}};
    return shaft_tones(s, p.name, lines, s.fixed.chance(0.4) ? p.name : "", s.fixed.uniform(0.1, 0.5));
}

FaultSound blade(FaultScene& s, const TruePart& p) {
    Lines lines;
    for (int k = 1; k <= 8; ++k) lines.emplace_back(k * p.blades, -1.5 * (k - 1) - s.fixed.uniform(0.0, 5.0));
    for (int k = 1; k <= 6; ++k) lines.emplace_back(p.blades + k, -s.fixed.uniform(5.0, 15.0));
    auto f = shaft_tones(s, p.name, lines, p.name, s.fixed.uniform(0.4, 0.8));
    Scrape c{p.name, 1.0, 250.0, 2500.0, 0.5, 0.2, "scrape"};
    const auto wash = scrape(s, c);
    add(f.wave, wash.wave,
        s.fixed.uniform(0.2, 0.7) * std::sqrt(mean_power(f.wave) / std::max(1e-12, mean_power(wash.wave))));
    f.truth.character_or = {"scrape"};
    f.truth.beat_ratio_or.emplace_back(p.blades * s.ratio_of(p.name));
    return f;
}

FaultSound electrical(FaultScene& s, const TruePart& p) {
    const double pairs = p.pole_pairs;
    if (s.fault.variant == "diode")
        return shaft_tones(s, p.name,
                           {{pairs, -s.fixed.uniform(0.0, 5.0)},
                            {2 * pairs, 0.0},
                            {3 * pairs, -s.fixed.uniform(2.0, 10.0)},
                            {6 * pairs, -s.fixed.uniform(0.0, 12.0)}},
                           "", 0.0);
    return shaft_tones(s, p.name,
                       {{6 * pairs, 0.0},
                        {12 * pairs, -s.fixed.uniform(3.0, 16.0)},
                        {18 * pairs, -s.fixed.uniform(8.0, 22.0)},
                        {2 * pairs, -s.fixed.uniform(8.0, 20.0)}},
                       "", 0.0);
}

FaultSound rub(FaultScene& s, const TruePart& p) {
    if (s.fault.variant == "tick") {
        Knocks k;
        k.owner = p.name;
        k.ratio = 1.0;
        for (std::uint64_t i = 0; i < 5; ++i)
            k.pulses.push_back(burst(s.fixed.ratio(900.0, 2500.0), s.fixed.ratio(5000.0, 10000.0), 0.0008,
                                     s.fixed.ratio(0.0015, 0.006), s.rate(), s.fixed.fork("burst", i)));
        k.spread = 0.3;
        k.jitter = 0.006;
        k.missing = s.fixed.uniform(0.0, 0.1);
        auto f = knocks(s, k);
        f.truth.character_or = {"scrape"};
        return f;
    }
    Scrape c;
    c.owner = p.name;
    c.low_hz = s.fixed.ratio(500.0, 2500.0);
    c.high_hz = s.fixed.ratio(4500.0, 10000.0);
    c.width = s.fixed.uniform(0.12, 0.6);
    c.floor = s.fixed.uniform(0.0, 0.35);
    return scrape(s, c);
}

FaultSound rattle(FaultScene& s, const TruePart& p) {
    Knocks k;
    const bool damper = p.kind == "crank pulley";
    k.ratio = damper ? 1.0 : s.firing_ratio();
    k.pulses = struck(s, damper ? 350.0 : 700.0, damper ? 3000.0 : 5500.0, 0.0008, 0.005, 0.0001);
    for (auto& pulse : k.pulses) {
        const Wave once = pulse;
        pulse.resize(pulse.size() + static_cast<std::size_t>(0.012 * s.rate()));
        add_at(pulse, s.fixed.uniform(0.002, 0.01) * s.rate(), static_cast<float>(s.fixed.uniform(0.3, 0.8)),
               once);
    }
    k.spread = s.fixed.uniform(0.3, 0.6);
    k.jitter = s.fixed.uniform(0.02, 0.06);
    k.missing = s.fixed.uniform(0.05, 0.35);
    auto f = knocks(s, k);
    if (!damper) f.truth.beat_ratio_or.emplace_back(s.cycle_ratio());
    return f;
}

}  // namespace

FaultSound part_fault(FaultScene& s) {
    const auto& p = *s.engine.part(s.part());
    const auto& kind = s.fault.cause.kind;
    if (kind == "bearing") return bearing(s, p);
    if (kind == "pump") return pump(s, p);
    if (kind == "blade") return blade(s, p);
    if (kind == "electrical") return electrical(s, p);
    if (kind == "rub") return rub(s, p);
    return rattle(s, p);
}

}  // namespace cranknote::simulate
