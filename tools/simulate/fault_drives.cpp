// Belts, chains and gears that complain.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "simulate/fault_scene.hpp"

namespace cranknote::simulate {

namespace {

constexpr double full_turn = 2.0 * std::numbers::pi;

/// Stick-slip: a structure's pitch with harmonics, wandering by itself, flaring up and dying away.
FaultSound squeal(FaultScene& s) {
    FaultSound f;
    f.wave.resize(s.samples());
    const double hz = s.fixed.ratio(650.0, 3600.0), restless = s.fixed.uniform(0.004, 0.02);
    const double second = s.fixed.uniform(0.1, 0.8), third = s.fixed.uniform(0.05, 0.5),
                 pulley = s.fixed.uniform(0.0, 0.35);
    const TurnTable table({{1, 1.0, 0.0}, {2, second, 1.0}, {3, third, 2.0}, {4, 0.4 * third, 0.5}});
    const auto turns = s.turns_of("crank pulley");
    double phase = 0.0, drift = 0.0, flutter = 0.0;
    for (std::size_t i = 0; i < f.wave.size(); ++i) {
        if (i % 480 == 0) {
            drift = 0.985 * drift + 0.17 * s.live.normal();
            flutter = 0.9 * flutter + 0.43 * s.live.normal();
        }
        phase += hz * (1.0 + restless * drift) / s.rate();
        const double strength =
            std::max(0.15, 1.0 + 0.35 * flutter) * (1.0 + pulley * std::sin(full_turn * turns[i]));
        f.wave[i] =
            table.at(phase) * static_cast<float>(strength) * std::min(1.0F, 2.0F * s.speed.at(i, s.rate()));
    }
    f.truth.character = "tone";
    f.truth.follows = "free";
    f.truth.beat_follows = "unknown";
    return f;
}

FaultSound chirp(FaultScene& s, const TrueDrive& d) {
    Knocks k;
    k.owner = d.name;
    k.ratio = 1.0;
    if (s.fault.variant == "pulley turn")
        k.owner = d.route[static_cast<std::size_t>(s.fixed.pick(static_cast<int>(d.route.size())))];
    const double hz = s.fixed.ratio(1600.0, 5200.0), length = s.fixed.ratio(0.012, 0.05);
    for (int i = 0; i < 5; ++i) {
        const double pitch = hz * s.fixed.uniform(0.98, 1.02);
        std::vector<Mode> modes{{pitch, length, 1.0, 0.0},
                                {2.0 * pitch, 0.7 * length, s.fixed.uniform(0.1, 0.7), 1.0},
                                {3.0 * pitch, 0.5 * length, s.fixed.uniform(0.05, 0.4), 2.0}};
        k.pulses.push_back(ring(modes, 0.4 * length, s.rate()));
    }
    k.spread = s.fixed.uniform(0.15, 0.4);
    k.jitter = s.fixed.uniform(0.005, 0.025);
    k.missing = s.fixed.uniform(0.0, 0.2);
    auto f = knocks(s, k);
    f.truth.character_or = {"tone"};
    return f;
}

FaultSound edge(FaultScene& s, const TrueDrive& d) {
    Scrape c;
    c.owner = d.name;
    c.low_hz = s.fixed.ratio(1000.0, 3000.0);
    c.high_hz = s.fixed.ratio(6000.0, 11000.0);
    c.width = s.fixed.uniform(0.12, 0.45);
    c.floor = s.fixed.uniform(0.02, 0.25);
    if (s.fault.variant == "wheel turn") {
        // A wheel that wobbles carries the belt against the cover once per its own turn.
        const auto* driver = s.engine.part(d.driver);
        c.owner = driver->name;
        const auto cam = std::find_if(s.engine.parts.begin(), s.engine.parts.end(), [&](const TruePart& p) {
            return p.kind == "cam wheel" && p.drive == d.name;
        });
        const bool upper = !s.fault.cause.also.empty() && s.fault.cause.also.front().starts_with("upper");
        if (upper && cam != s.engine.parts.end()) c.owner = cam->name;
    }
    return scrape(s, c);
}

FaultSound mesh(FaultScene& s, const TrueDrive& d, double side_from, double side_to) {
    const auto* driver = s.engine.part(d.driver);
    const double z = driver->teeth;
    Lines lines{{z, 0.0},
                {2 * z, -s.fixed.uniform(-4.0, 12.0)},
                {3 * z, -s.fixed.uniform(2.0, 18.0)},
                {4 * z, -s.fixed.uniform(6.0, 24.0)}};
    for (const double side : {-1.0, 1.0}) lines.emplace_back(z + side, -s.fixed.uniform(side_from, side_to));
    const bool swells = s.fixed.chance(0.5) && d.turns > 0.0;
    auto f =
        shaft_tones(s, driver->name, lines, swells ? d.name : "", swells ? s.fixed.uniform(0.1, 0.5) : 0.0);
    f.truth.character = "tone";
    return f;
}

FaultSound chain_rattle(FaultScene& s) {
    Knocks k;
    k.ratio = s.firing_ratio();
    k.pulses = struck(s, 900.0, 7000.0, 0.0006, 0.003, 0.0001);
    // The slack strand slaps a few times after each firing.
    for (auto& p : k.pulses) {
        Wave once = p;
        p.resize(p.size() + static_cast<std::size_t>(0.02 * s.rate()));
        for (int i = 0; i < 4; ++i)
            add_at(p, s.fixed.uniform(0.001, 0.017) * s.rate(), static_cast<float>(s.fixed.uniform(0.2, 0.9)),
                   once);
    }
    k.spread = s.fixed.uniform(0.3, 0.7);
    k.jitter = 0.06;
    k.missing = s.fixed.uniform(0.0, 0.25);
    auto f = knocks(s, k);
    f.truth.character_or = {"scrape"};
    f.truth.beat_ratio_or.emplace_back(s.cycle_ratio());
    return f;
}

}  // namespace

FaultSound drive_fault(FaultScene& s) {
    const auto& d = *s.engine.drive(s.part());
    const auto& kind = s.fault.cause.kind;
    if (kind == "slip") return squeal(s);
    if (kind == "misalignment") return chirp(s, d);
    if (kind == "edge") return edge(s, d);
    if (kind == "chain" && s.fault.variant == "rattle") return chain_rattle(s);
    return mesh(s, d, kind == "gear" ? 3.0 : 8.0, kind == "gear" ? 14.0 : 20.0);
}

}  // namespace cranknote::simulate
