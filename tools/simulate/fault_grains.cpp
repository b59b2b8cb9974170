// The three ways in which faults sound: tones on a shaft, knocks, noise through a gate.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "simulate/fault_scene.hpp"

namespace cranknote::simulate {

namespace {

double db_gain(double db) { return std::pow(10.0, db / 20.0); }

/// Strength that wavers from moment to moment, at some hertz: no rub presses evenly.
SlowGain waver(FaultScene& s, double depth) {
    SlowGain g;
    double slow = 0.0;
    const auto count = static_cast<std::size_t>(static_cast<double>(s.samples()) / s.rate() * 100.0) + 2;
    for (std::size_t i = 0; i < count; ++i) {
        slow = 0.85 * slow + 0.53 * s.live.normal();
        g.values.push_back(static_cast<float>(std::clamp(1.0 + depth * slow, 0.1, 2.5)));
    }
    return g;
}

std::vector<Ratio> multiples(double ratio, int from, int to) {
    std::vector<Ratio> r;
    for (int k = from; k <= to; ++k) r.emplace_back(k * ratio);
    return r;
}

}  // namespace

std::vector<double> FaultScene::turns_of(std::string_view name) const {
    return motion.turns_of(engine, name);
}

double FaultScene::ratio_of(std::string_view name) const { return motion.ratio_of(engine, name); }

std::vector<Wave> struck(FaultScene& s, double low_hz, double high_hz, double decay_low, double decay_high,
                         double attack) {
    std::vector<Mode> modes;
    for (int i = 0; i < 5; ++i)
        modes.push_back({s.fixed.ratio(low_hz, high_hz), s.fixed.ratio(decay_low, decay_high),
                         s.fixed.uniform(0.3, 1.0), s.fixed.uniform(0.0, 2.0 * std::numbers::pi)});
    std::vector<Wave> pulses;
    for (int i = 0; i < 4; ++i) {
        auto varied = modes;
        for (auto& m : varied) m.gain *= s.fixed.uniform(0.75, 1.25);
        pulses.push_back(ring(varied, attack, s.rate()));
    }
    return pulses;
}

FaultSound shaft_tones(FaultScene& s, const std::string& owner, const Lines& lines, const std::string& beat,
                       double depth) {
    std::vector<TurnTable::Harmonic> harmonics;
    FaultSound f;
    const double ratio = owner.empty() ? 1.0 : s.ratio_of(owner);
    double strongest = -1e9;
    for (const auto& [k, db] : lines) {
        harmonics.push_back({std::round(k), db_gain(db), s.fixed.uniform(0.0, 2.0 * std::numbers::pi)});
        f.truth.ratio_or.emplace_back(std::round(k) * ratio);
        if (db > strongest) {
            strongest = db;
            f.truth.ratio = Ratio{std::round(k) * ratio};
        }
    }
    f.wave.resize(s.samples());
    add_tone(f.wave, owner.empty() ? s.motion.turning.turns : s.turns_of(owner), TurnTable(harmonics), 1.0);
    if (!beat.empty() && depth > 0.0) {
        const auto swell_turns = s.turns_of(beat);
        const TurnTable swell(
            [depth](double t) { return 1.0 + depth * std::sin(2.0 * std::numbers::pi * t); }, 256);
        for (std::size_t i = 0; i < f.wave.size(); ++i) f.wave[i] *= swell.at(swell_turns[i]);
        if (depth > 0.3) {
            f.truth.beat_ratio = Ratio{s.ratio_of(beat)};
            f.truth.beat_follows = "crank";
        }
    }
    multiply(f.wave, waver(s, 0.12), s.rate());
    for (std::size_t i = 0; i < f.wave.size(); ++i) f.wave[i] *= std::min(2.0F, s.speed.at(i, s.rate()));
    f.truth.character = "tone";
    f.truth.follows = "crank";
    return f;
}

FaultSound knocks(FaultScene& s, const Knocks& k) {
    FaultSound f;
    f.wave.resize(s.samples());
    const auto turns = k.owner.empty() ? s.motion.turning.turns : s.turns_of(k.owner);
    const double phase = s.fixed.uniform();
    const auto at = passings(turns, k.ratio, phase);
    std::size_t turn = static_cast<std::size_t>(s.live.pick(8));
    for (std::size_t i = 0; i < at.size(); ++i, ++turn) {
        const double gap = i + 1 < at.size() ? at[i + 1] - at[i] : i > 0 ? at[i] - at[i - 1] : 0.0;
        const double strength =
            k.pattern[turn % k.pattern.size()] * std::max(0.0, 1.0 + k.spread * s.live.normal());
        const double late = k.jitter * gap * s.live.normal();
        const auto& pulse =
            k.pulses[static_cast<std::size_t>(s.live.pick(static_cast<int>(k.pulses.size())))];
        if (s.live.chance(k.missing)) continue;
        add_at(f.wave, at[i] + late, static_cast<float>(strength), pulse);
    }
    const double ratio = k.ratio * (k.owner.empty() ? 1.0 : s.ratio_of(k.owner));
    const auto repeat = static_cast<double>(k.pattern.size());
    f.truth.beat_ratio = Ratio{ratio};
    f.truth.beat_ratio_or = multiples(ratio, 2, 6);
    if (repeat > 1.0) {
        const auto fine = multiples(ratio / repeat, 1, static_cast<int>(3.0 * repeat));
        f.truth.beat_ratio_or.insert(f.truth.beat_ratio_or.end(), fine.begin(), fine.end());
    }
    f.truth.beat_follows = "crank";
    f.truth.character = k.character;
    f.truth.follows = "fixed";
    return f;
}

FaultSound scrape(FaultScene& s, const Scrape& c) {
    const double centre = std::sqrt(c.low_hz * c.high_hz);
    const std::vector<Biquad> colour{Biquad::high_pass(c.low_hz * s.fixed.ratio(0.7, 1.3), 0.7071, s.rate()),
                                     Biquad::low_pass(c.high_hz * s.fixed.ratio(0.7, 1.3), 0.7071, s.rate()),
                                     Biquad::peak(centre * s.fixed.ratio(0.5, 2.0), s.fixed.uniform(1.0, 4.0),
                                                  s.fixed.uniform(0.0, 9.0), s.rate()),
                                     Biquad::peak(centre * s.fixed.ratio(0.5, 2.0), s.fixed.uniform(1.0, 4.0),
                                                  s.fixed.uniform(-6.0, 6.0), s.rate())};
    FaultSound f;
    f.wave = coloured(s.samples(), colour, s.live.fork("noise"));
    const double second = s.fixed.chance(0.3) ? s.fixed.uniform(0.1, 0.4) : 0.0;
    const double where = s.fixed.uniform(0.3, 0.7), phase = s.fixed.uniform();
    const TurnTable gate(
        [&](double t) {
            const auto bump_at = [&](double x) {
                const double d = (x - std::round(x)) / (0.42 * c.width);
                return std::exp(-0.5 * d * d);
            };
            return c.floor + bump_at(t - phase) + second * bump_at(t - phase - where);
        },
        512);
    const auto turns = c.owner.empty() ? s.motion.turning.turns : s.turns_of(c.owner);
    const double per_turn = c.owner.empty() ? s.cycle_ratio() * c.per_turn : c.per_turn;
    for (std::size_t i = 0; i < f.wave.size(); ++i)
        f.wave[i] *= gate.at(turns[i] * per_turn) * std::min(1.5F, s.speed.at(i, s.rate()));
    multiply(f.wave, waver(s, 0.3), s.rate());
    const double ratio = per_turn * (c.owner.empty() ? 1.0 : s.ratio_of(c.owner));
    f.truth.beat_ratio = Ratio{ratio};
    f.truth.beat_ratio_or = multiples(ratio, 2, 5);
    f.truth.beat_follows = "crank";
    f.truth.character = c.character;
    f.truth.follows = "fixed";
    return f;
}

FaultSound hiss(FaultScene& s, double low_hz, double high_hz) {
    FaultSound f;
    const std::vector<Biquad> colour{Biquad::high_pass(low_hz * s.fixed.ratio(0.7, 1.4), 0.7071, s.rate()),
                                     Biquad::low_pass(high_hz * s.fixed.ratio(0.7, 1.4), 0.7071, s.rate()),
                                     Biquad::peak(s.fixed.ratio(low_hz, high_hz), s.fixed.uniform(0.8, 3.0),
                                                  s.fixed.uniform(0.0, 8.0), s.rate())};
    f.wave = coloured(s.samples(), colour, s.live.fork("noise"));
    for (std::size_t i = 0; i < f.wave.size(); ++i)
        f.wave[i] *= std::min(1.0F, 2.0F * s.speed.at(i, s.rate()));
    f.truth.character = "hiss";
    f.truth.follows = "fixed";
    f.truth.beat_follows = "unknown";
    return f;
}

}  // namespace cranknote::simulate
