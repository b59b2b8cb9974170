// The healthy engine, rendered over one stretch.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "simulate/voice.hpp"

namespace cranknote::simulate {

namespace {

/// Everything that the renderers below share.
struct Scene {
    const Engine& engine;
    const Voice& voice;
    const Motion& motion;
    const Circumstances& now;
    double load;
    SlowGain firing;  ///< strength of combustion noise: 0 where it does not fire
    SlowGain speed;   ///< speed over idle speed, 0 where it stands
    Wave speeds;      ///< the same, sample by sample
    Wave swell;       ///< of the cycle, firing by firing, sample by sample
    [[nodiscard]] std::size_t samples() const { return motion.turning.turns.size(); }
};

Wave& stem(Stems& stems, Place place, std::size_t samples) {
    auto& s = stems[static_cast<std::size_t>(place)];
    if (s.empty()) s.resize(samples);
    return s;
}

SlowGain per_speed(const Scene& s, bool firing) {
    SlowGain g;
    const auto& t = s.motion.turning;
    for (std::size_t i = 0; i < t.rpm.size(); ++i) {
        const double relative = static_cast<double>(t.rpm[i]) / s.engine.idle_rpm;
        const double strength = t.running_at(static_cast<double>(i) / 100.0)
                                    ? s.load * std::pow(std::max(relative, 0.05), 0.6)
                                    : 0.0;
        g.values.push_back(static_cast<float>(firing ? strength : relative));
    }
    return g;
}

std::vector<double> cycle_passings(const Scene& s, double at_deg) {
    const double per_turn = 1.0 / s.engine.cycle_turns();
    return passings(s.motion.turning.turns, per_turn, -at_deg / 360.0 * per_turn);
}

double samples_per_degree(const Scene& s, double at) {
    const double rpm = s.motion.turning.rpm_at(at / s.voice.rate);
    return rpm > 1.0 ? s.voice.rate / (rpm * 6.0) : 0.0;
}

void fire(const Scene& s, const CylinderVoice& c, Stems& stems, Dice dice) {
    auto& block = stem(stems, Place::block, s.samples());
    auto& exhaust = stem(stems, Place::exhaust, s.samples());
    const auto& v = s.voice;
    const bool dead = c.number == s.now.dead_cylinder;
    for (const double due : cycle_passings(s, c.at_deg)) {
        const double at = due + dice.normal(0.0, v.firing_jitter_deg) * samples_per_degree(s, due);
        const double fires =
            static_cast<double>(s.firing.at(static_cast<std::size_t>(std::max(0.0, due)), v.rate));
        // Compression alone still thumps a little: a dead cylinder, or the starter turning.
        const double strength =
            (dead ? 0.15 : 1.0) * c.gain * std::max(0.0, 1.0 + v.firing_spread * dice.normal());
        const double gain = fires > 0.0 ? fires * strength : 0.12;
        add_at(block, at, static_cast<float>(gain), c.thump);
        add_at(exhaust, at + 140.0 * samples_per_degree(s, due), static_cast<float>(fires > 0.0 ? gain : 0.1),
               c.puff);
        const auto& crackle =
            v.crackle[static_cast<std::size_t>(dice.pick(static_cast<int>(v.crackle.size())))];
        const double sign = dice.chance(0.5) ? 1.0 : -1.0;
        add_at(block, at, static_cast<float>(fires * strength * sign * v.crackle_gain), crackle);
    }
}

void tick(const Scene& s, const Tick& t, Stems& stems, Dice dice) {
    auto& out = stem(stems, t.place, s.samples());
    const auto& pulse = s.voice.tick_pulses[t.pulse];
    for (const double at : cycle_passings(s, t.at_deg)) {
        const double speed =
            std::sqrt(static_cast<double>(s.speed.at(static_cast<std::size_t>(at), s.voice.rate)));
        add_at(out, at,
               static_cast<float>(t.gain * speed * std::max(0.0, 1.0 + s.voice.tick_spread * dice.normal())),
               pulse);
    }
}

void hiss(const Scene& s, const Noise& n, Stems& stems, Dice dice) {
    if (!n.owner.empty() && !s.now.turns(n.owner)) return;
    Wave noise = coloured(s.samples(), n.colour, dice);
    const auto base = static_cast<float>(std::sqrt(n.power) * (n.owner.empty() ? s.load : 1.0));
    const auto depth = static_cast<float>(n.depth);
    const float slowing = n.with_speed ? 1.0F : 1.5F, most = n.with_speed ? 10.0F : 1.0F;
    for (std::size_t i = 0; i < noise.size(); ++i) noise[i] *= base * std::min(most, slowing * s.speeds[i]);
    if (n.owner.empty()) {
        for (std::size_t i = 0; i < noise.size(); ++i) noise[i] *= 1.0F + depth * s.swell[i];
    } else if (n.depth > 0.05) {
        const TurnTable once([&](double t) { return 1.0 + n.depth * std::sin(2.0 * std::numbers::pi * t); },
                             256);
        const auto turns = s.motion.turns_of(s.engine, n.owner);
        for (std::size_t i = 0; i < noise.size(); ++i) noise[i] *= once.at(turns[i]);
    }
    add(stem(stems, n.place, s.samples()), noise);
}

bool silent(const Scene& s, const HealthyTone& tone) {
    return !s.now.turns(tone.owner) || (!tone.needs.empty() && !s.now.with.contains(tone.needs));
}

void sing(const Scene& s, const HealthyTone& tone, const std::vector<double>& turns, Stems& stems) {
    double gain = tone.gain;
    const auto* part = s.engine.part(tone.owner);
    if (part && part->kind == "steering pump" && s.now.with.contains("lock")) gain *= 2.5;
    if (part && part->kind == "alternator" && s.now.with.contains("lamps-on")) gain *= 1.8;
    auto& out = stem(stems, tone.place, s.samples());
    const auto g = static_cast<float>(gain);
    for (std::size_t i = 0; i < out.size(); ++i)
        out[i] += g * std::min(1.5F, s.speeds[i]) * tone.table.at(turns[i]);
}

void sing_all(const Scene& s, Stems& stems) {
    std::string owner;
    std::vector<double> turns;  // shared by the tones of one owner, which stand together
    for (const auto& tone : s.voice.tones) {
        if (silent(s, tone)) continue;
        if (tone.owner != owner) {
            // The lines of a drive turn with its driver, not with its loop.
            const auto* drive = s.engine.drive(tone.owner);
            turns = s.motion.turns_of(s.engine, drive ? drive->driver : tone.owner);
            owner = tone.owner;
        }
        sing(s, tone, turns, stems);
    }
}

/// The starter: a whine of its own pinion and the ring gear while it turns the engine.
void starter(const Scene& s, Stems& stems, Dice dice) {
    const auto& t = s.motion.turning;
    if (t.cranking_from < 0.0) return;
    std::vector<TurnTable::Harmonic> lines{{110.0, 0.8, 0.0}, {220.0, 0.4, 1.0}, {9.0, 0.5, 2.0}};
    const TurnTable table(lines);
    auto& out = stem(stems, Place::block, s.samples());
    const auto from = static_cast<std::size_t>(t.cranking_from * s.voice.rate);
    const auto to = std::min(out.size(), static_cast<std::size_t>(t.running_from * s.voice.rate));
    Wave grind = coloured(out.size(), {Biquad::band_pass(1500.0, 0.5, s.voice.rate)}, dice);
    for (std::size_t i = from; i < to; ++i) out[i] += 0.7F * table.at(t.turns[i]) + 0.5F * grind[i];
}

/// A cover that is off lets out what it kept in: louder by 1 to 4 dB above 1 kHz.
void open_covers(const Scene& s, Stems& stems) {
    for (const auto& c : s.engine.covers) {
        if (!s.now.off.contains(c.name)) continue;
        Dice dice = Dice(s.engine.seed).fork("behind " + c.name);
        const auto shelf = Biquad::high_shelf(1000.0, dice.uniform(1.0, 4.0), s.voice.rate);
        filter(stem(stems, Place::front, s.samples()), shelf);
    }
}

}  // namespace

Stems render_healthy(const Engine& engine, const Voice& voice, const Motion& motion, const Circumstances& now,
                     Dice dice) {
    Scene s{engine, voice, motion, now, load_of(now), {}, {}, {}, {}};
    s.firing = per_speed(s, true);
    s.speed = per_speed(s, false);
    s.speeds.resize(s.samples());
    s.swell.resize(s.samples());
    for (std::size_t i = 0; i < s.samples(); ++i) {
        s.speeds[i] = s.speed.at(i, voice.rate);
        s.swell[i] = voice.swell.at(motion.turning.turns[i] / engine.cycle_turns());
    }
    Stems stems;
    for (std::size_t i = 0; i < voice.cylinders.size(); ++i)
        fire(s, voice.cylinders[i], stems, dice.fork("fire", i));
    for (std::size_t i = 0; i < voice.ticks.size(); ++i) tick(s, voice.ticks[i], stems, dice.fork("tick", i));
    for (std::size_t i = 0; i < voice.noises.size(); ++i)
        hiss(s, voice.noises[i], stems, dice.fork("hiss", i));
    sing_all(s, stems);
    starter(s, stems, dice.fork("starter"));
    open_covers(s, stems);
    return stems;
}

}  // namespace cranknote::simulate
