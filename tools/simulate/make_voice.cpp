// Drawing an engine's voice: levels are mean powers at its idle, with the block's firing noise as 1 (0 dB).
#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "simulate/spectrum.hpp"
#include "simulate/voice.hpp"

namespace cranknote::simulate {

namespace {

double db_power(double db) { return std::pow(10.0, db / 10.0); }
double db_gain(double db) { return std::pow(10.0, db / 20.0); }

/// What is drawn first and shapes the rest.
struct Temper {
    double uneven = 0.3;  ///< 0 all cylinders alike, 1 very unlike
    bool diesel = false;
    double firing_per_second = 20.0;
    double cycles_per_second = 7.0;
    double rate = 48000.0;
};

std::vector<Mode> block_modes(Dice& dice, const Temper& t) {
    std::vector<Mode> modes;
    const int count = dice.between(7, 11);
    const double slope =
        t.diesel ? dice.uniform(-5.0, -2.0) : dice.uniform(-9.0, -5.0);  // dB an octave above 300 Hz
    for (int i = 0; i < count; ++i) {
        Mode m;
        m.hz = dice.ratio(160.0, 4800.0);
        m.decay = dice.uniform(4.0, 11.0) / m.hz + 0.0008;
        m.gain = db_gain(slope * std::max(0.0, std::log2(m.hz / 300.0)) + dice.normal(0.0, 3.0));
        m.phase = dice.uniform(0.0, 2.0 * std::numbers::pi);
        modes.push_back(m);
    }
    return modes;
}

std::vector<Mode> pipe_modes(Dice& dice) {
    std::vector<Mode> modes;
    const double quarter = dice.uniform(45.0, 110.0);
    for (const int k : {1, 3, 5, 7, 9}) {
        Mode m{quarter * k * dice.uniform(0.95, 1.05), dice.uniform(0.006, 0.018), 1.0 / k, 0.0};
        modes.push_back(m);
    }
    return modes;
}

/// The same structure heard from another cylinder: each mode takes up more or less of the blow.
std::vector<Mode> from_another_place(std::vector<Mode> modes, double unlike, Dice dice) {
    for (auto& m : modes) {
        m.gain *= db_gain(dice.normal(0.0, 4.0 * unlike));
        m.phase += dice.normal(0.0, 1.2 * unlike);
    }
    return modes;
}

void cylinders(Voice& v, const Engine& e, const Temper& t, Dice dice) {
    const auto block = block_modes(dice, t);
    const auto pipe = pipe_modes(dice);
    const double attack = t.diesel ? dice.uniform(0.00015, 0.0004) : dice.uniform(0.0005, 0.0016);
    const double puff_power = db_power(dice.normal(3.0, 5.0));
    for (int i = 0; i < e.cylinders; ++i) {
        CylinderVoice c;
        Dice own = dice.fork("cylinder", static_cast<std::uint64_t>(i));
        c.number = e.firing_order[static_cast<std::size_t>(i)];
        c.at_deg = e.firing_deg[static_cast<std::size_t>(i)] + own.normal(0.0, 1.5 * t.uneven);
        c.gain = db_gain(own.normal(0.0, 3.0 * t.uneven));
        c.thump = ring(from_another_place(block, 0.15 + t.uneven, own.fork("block")), attack, v.rate);
        set_train_power(c.thump, t.firing_per_second, 1.0, v.rate);
        c.puff = ring(from_another_place(pipe, t.uneven, own.fork("pipe")), 0.004, v.rate);
        set_train_power(c.puff, t.firing_per_second, puff_power, v.rate);
        v.cylinders.push_back(std::move(c));
    }
    for (std::uint64_t i = 0; i < 6; ++i) {
        v.crackle.push_back(burst(250.0, t.diesel ? 6000.0 : 3500.0, attack, dice.uniform(0.003, 0.012),
                                  v.rate, dice.fork("crackle", i)));
        set_train_power(v.crackle.back(), t.firing_per_second, db_power(-7.0), v.rate);
    }
    v.crackle_gain = db_gain(dice.normal(0.0, 3.0));
    v.firing_spread = dice.uniform(0.04, 0.2);
    v.firing_jitter_deg = dice.uniform(0.2, 1.2);
}

std::size_t add_tick_pulse(Voice& v, double low, double high, double decay, double per_second, double power,
                           Dice dice) {
    std::vector<Mode> modes;
    for (int i = 0; i < 4; ++i)
        modes.push_back({dice.ratio(low, high), decay * dice.uniform(0.6, 1.6), dice.uniform(0.3, 1.0),
                         dice.uniform(0.0, 6.28)});
    v.tick_pulses.push_back(ring(modes, 0.00008, v.rate));
    set_train_power(v.tick_pulses.back(), per_second, power, v.rate);
    return v.tick_pulses.size() - 1;
}

void valves(Voice& v, const Engine& e, const Temper& t, Dice dice) {
    if (e.valves_per_cylinder == 0) return;
    const double per_second = t.cycles_per_second * e.cylinders * 2.0;
    const auto pulse = add_tick_pulse(v, 1800.0, 9000.0, dice.uniform(0.0008, 0.003), per_second,
                                      db_power(dice.normal(-9.0, 4.0)), dice);
    for (const auto& c : v.cylinders)
        for (const double closing : {375.0, 590.0})  // exhaust and intake valves seat
            v.ticks.push_back({c.at_deg + closing + dice.normal(0.0, 1.0),
                               db_gain(dice.normal(0.0, 1.0 + 3.0 * t.uneven)), pulse, Place::head});
    v.tick_spread = dice.uniform(0.05, 0.25);
}

void injectors(Voice& v, const Engine& e, const Temper& t, Dice dice) {
    if (e.stroke == 2 || dice.chance(0.3)) return;
    const bool direct = t.diesel || dice.chance(0.3);
    const double power = db_power(dice.normal(direct ? -9.0 : -17.0, 4.0));
    const double per_second = t.cycles_per_second * e.cylinders * (t.diesel ? 2.0 : 1.0);
    const auto pulse =
        add_tick_pulse(v, 3000.0, 12000.0, dice.uniform(0.0004, 0.0012), per_second, power, dice);
    const double lead = direct ? -12.0 : 400.0;
    const double pilot = dice.uniform(12.0, 22.0);
    for (const auto& c : v.cylinders) {
        v.ticks.push_back({c.at_deg + lead, db_gain(dice.normal(0.0, 2.0 * t.uneven)), pulse, Place::head});
        if (t.diesel) v.ticks.push_back({c.at_deg + lead - pilot, 0.6, pulse, Place::head});
    }
}

std::vector<Biquad> hiss_colour(Dice& dice, double low, double high, double rate) {
    return {Biquad::high_pass(low * dice.ratio(0.7, 1.4), 0.7071, rate),
            Biquad::low_pass(high * dice.ratio(0.7, 1.4), 0.6, rate),
            Biquad::peak(dice.ratio(low * 1.5, high), dice.uniform(1.0, 3.0), dice.uniform(-6.0, 8.0), rate),
            Biquad::peak(dice.ratio(low * 1.5, high), dice.uniform(1.0, 4.0), dice.uniform(-6.0, 8.0), rate)};
}

/// Two sections: enough for one small source among many.
std::vector<Biquad> small_colour(Dice& dice, double low, double high, double rate) {
    return {Biquad::band_pass(std::sqrt(low * high) * dice.ratio(0.6, 1.6), dice.uniform(0.3, 0.6), rate),
            Biquad::peak(dice.ratio(low, high), dice.uniform(1.0, 4.0), dice.uniform(-5.0, 9.0), rate)};
}

void flow(Voice& v, const Engine& e, Dice dice) {
    const double rate = v.rate;
    v.noises.push_back({"", Place::exhaust, hiss_colour(dice, 120.0, 1600.0, rate),
                        db_power(dice.normal(-6.0, 4.0)), dice.uniform(0.3, 0.9), false});
    v.noises.push_back({"", Place::head, hiss_colour(dice, 250.0, 5000.0, rate),
                        db_power(dice.normal(-10.0, 4.0)), dice.uniform(0.1, 0.6), true});
    v.noises.push_back({"", Place::block, hiss_colour(dice, 400.0, 7000.0, rate),
                        db_power(dice.normal(-9.0, 4.0)), dice.uniform(0.0, 0.3), false});
    for (const auto& p : e.parts) {
        if (p.kind == "alternator" && p.blades > 0)
            v.noises.push_back({p.name, place_of(p), small_colour(dice, 500.0, 6000.0, rate),
                                db_power(dice.normal(-13.0, 3.0)), dice.uniform(0.0, 0.2), true});
        if (p.kind == "fan" && !p.electric)
            v.noises.push_back({p.name, Place::front, small_colour(dice, 150.0, 2500.0, rate),
                                db_power(dice.normal(-8.0, 4.0)), dice.uniform(0.05, 0.3), true});
        if (p.kind == "steering pump" || p.kind == "water pump" || p.kind == "idler")
            v.noises.push_back({p.name, place_of(p), small_colour(dice, 400.0, 4000.0, rate),
                                db_power(dice.normal(-17.0, 3.0)), dice.uniform(0.0, 0.3), false});
    }
    for (const auto& d : e.drives)
        v.noises.push_back({d.name, Place::front, small_colour(dice, 800.0, 9000.0, rate),
                            db_power(dice.normal(is_friction(d.kind) ? -16.0 : -13.0, 3.0)),
                            dice.uniform(0.0, 0.4), false});
}

void swelling(Voice& v, const Engine& e) {
    std::vector<double> at;
    for (const auto& c : v.cylinders) at.push_back(c.at_deg / (360.0 * e.cycle_turns()));
    const double width = 0.35 / e.cylinders;
    const auto raw = [at, width, &v](double cycle) {
        double s = 0.0;
        for (std::size_t i = 0; i < at.size(); ++i) {
            double d = cycle - at[i] - 0.6 * width;
            d -= std::round(d);
            s += v.cylinders[i].gain * std::exp(-0.5 * d * d / (width * width) * 4.0);
        }
        return s;
    };
    double mean = 0.0, peak = 0.0;
    for (int i = 0; i < 720; ++i) mean += raw(i / 720.0) / 720.0;
    for (int i = 0; i < 720; ++i) peak = std::max(peak, std::abs(raw(i / 720.0) - mean));
    v.swell = TurnTable([&](double c) { return (raw(c) - mean) / peak; }, 720);
}

// ---- healthy tones -------------------------------------------------------------------------------------

struct Family {
    std::string owner, needs;
    Place place = Place::front;
    double part_turns = 1.0;                           ///< of the owner per crank turn
    std::vector<std::pair<double, double>> harmonics;  ///< (per owner turn, dB re the strongest)
    double loudness = 0.0;                             ///< dB added to the draw
};

void part_families(const TruePart& p, Dice& dice, std::vector<Family>& out) {
    const auto drop = [&] { return -dice.uniform(2.0, 14.0); };
    const auto family = [&](double n, double loudness, std::string needs = "") {
        if (n > 0)
            out.push_back({p.name,
                           std::move(needs),
                           place_of(p),
                           p.turns,
                           {{n, 0.0}, {2 * n, drop()}, {3 * n, drop() - 4.0}, {1, drop() - 6.0}},
                           loudness});
    };
    if (p.kind == "alternator") {
        const double ripple = 6.0 * p.pole_pairs;
        out.push_back(
            {p.name,
             "",
             place_of(p),
             p.turns,
             {{ripple, 0.0}, {2 * ripple, drop()}, {ripple / 3, drop()}, {double(p.pole_pairs), drop() - 4}},
             0.0});
        family(p.blades, -3.0);
    }
    if (p.kind == "fan" && !p.electric) family(p.blades, 2.0);
    family(p.vanes, p.kind == "steering pump" ? 2.0 : -3.0);
    family(p.pistons, 4.0, "ac-on");
    family(p.lobes, -2.0);
    family(p.plungers, 1.0);
}

void mesh_family(const Engine& e, const TrueDrive& d, Dice& dice, std::vector<Family>& out) {
    const auto* driver = e.part(d.driver);
    if (is_friction(d.kind) || !driver || driver->teeth == 0) return;
    const double z = driver->teeth;
    std::vector<std::pair<double, double>> lines{
        {z, 0.0}, {2 * z, -dice.uniform(0.0, 12.0)}, {3 * z, -dice.uniform(4.0, 16.0)}};
    for (const double side : {-1.0, 1.0}) lines.emplace_back(z + side, -dice.uniform(8.0, 20.0));
    out.push_back({d.name, "", Place::front, driver->turns, lines, 2.0});
}

/// Tone levels are drawn against the noise around them, as an ear hears them: tone-to-noise in a critical
/// band.
void healthy_tones(Voice& v, const Engine& e, const Spectrum& noise, Dice dice) {
    std::vector<Family> families;
    for (const auto& p : e.parts) part_families(p, dice, families);
    for (const auto& d : e.drives) mesh_family(e, d, dice, families);
    for (const auto& f : families) {
        const double crank_hz = e.idle_rpm / 60.0;
        const double hz = f.harmonics.front().first * f.part_turns * crank_hz;
        const double level = dice.normal(-3.0, 5.0) + f.loudness;  // dB in the critical band
        const double power = noise.density(hz) * critical_band(hz) * db_power(level);
        std::vector<TurnTable::Harmonic> lines;
        for (const auto& [k, db] : f.harmonics)
            lines.push_back({std::round(k), db_gain(db), dice.uniform(0.0, 2.0 * std::numbers::pi)});
        // A line of a drive turns with its driver, not with its loop.
        v.tones.push_back({f.owner, f.needs, f.place, TurnTable(lines), std::sqrt(2.0 * power),
                           f.harmonics.front().first * f.part_turns});
    }
}

Spectrum idle_noise(const Engine& e, const Voice& v) {
    const Dice dice = Dice(e.seed).fork("idle noise");
    const Motion motion = move(e, idle_course(e.idle_rpm, 1.5, 0.005), v.rate, v.ripple, "", 0.0, dice);
    const Stems stems = render_healthy(e, v, motion, {}, dice.fork("render"));
    Wave sum(motion.turning.turns.size());
    for (const auto& s : stems) add(sum, s);
    return welch(sum, v.rate, 4096);
}

}  // namespace

Voice make_voice(const Engine& e, double rate) {
    Dice dice = Dice(e.seed).fork("voice");
    Voice v;
    v.rate = rate;
    Temper t;
    t.rate = rate;
    t.diesel = e.fuel == "diesel";
    t.uneven = dice.chance(0.15) ? dice.uniform(0.0, 0.05) : dice.uniform(0.1, 1.0);
    t.cycles_per_second = e.idle_rpm / 60.0 / e.cycle_turns();
    t.firing_per_second = t.cycles_per_second * e.cylinders;
    v.ripple = dice.uniform(0.4, 1.0) * (t.diesel ? 0.05 : 0.03) * 4.0 / std::max(2, e.cylinders) * 0.5;
    cylinders(v, e, t, dice.fork("cylinders"));
    valves(v, e, t, dice.fork("valves"));
    injectors(v, e, t, dice.fork("injectors"));
    flow(v, e, dice.fork("flow"));
    swelling(v, e);
    healthy_tones(v, e, idle_noise(e, v), dice.fork("tones"));
    return v;
}

}  // namespace cranknote::simulate
