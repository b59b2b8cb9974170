#include "simulate/bench.hpp"

#include <cmath>
#include <set>

#include "simulate/codec.hpp"
#include "simulate/fourier.hpp"
#include "simulate/level.hpp"

namespace cranknote::simulate {

namespace {

constexpr std::size_t level_window = 8192;

struct Heard {
    std::size_t fault = 0;
    Wave wave;
    TrueFault truth;
    double most = 0.0;
    Spectrum spectrum;
};

/// One recording at the microphone, before the phone: the healthy engine, and each fault by itself.
struct AtMicrophone {
    Wave healthy;
    Spectrum spectrum;
    std::vector<Heard> faults;
    TakeTruth truth;
};

std::string slipping_drive(const Bench& b, const TakePlan& p, double& extra) {
    for (std::size_t i = 0; i < b.faults.size(); ++i) {
        const bool here = p.faults.empty() || p.faults[i];
        if (here && b.faults[i].cause.kind == "slip") {
            extra = b.faults[i].extra_creep;
            return *b.faults[i].cause.part;
        }
    }
    return "";
}

Wave at_microphone(const Bench& b, const TakePlan& p, const Stems& stems) {
    static constexpr const char* names[places] = {"block", "head", "exhaust", "front", "left", "right"};
    std::vector<Wave> ways(places);
    std::vector<Way> list;
    for (std::size_t i = 0; i < places; ++i) {
        if (stems[i].empty()) continue;
        ways[i] = way_from(b.room, p.placement, spot_of(static_cast<Place>(i)), names[i], b.voice.rate);
        list.push_back({&stems[i], &ways[i]});
    }
    return sum_through(list);
}

/// Where a fault leaves the engine; what is outside it stands some metres off.
Spot fault_spot(const Bench& b, const Fault& f) {
    if (f.cause.kind == "outside") {
        Dice dice = Dice(f.seed).fork("where");
        return {dice.uniform(-1.5, 1.5), dice.uniform(-0.2, 0.8), dice.uniform(-1.5, 1.0)};
    }
    return f.cause.part ? spot_of(b.engine, *f.cause.part) : spot_of(Place::exhaust);
}

Heard hear(const Bench& b, const TakePlan& p, const Motion& motion, const Circumstances& now, std::size_t i,
           Dice dice) {
    const auto& fault = b.faults[i];
    auto sound = render_fault(b.engine, b.voice, motion, now, fault, dice);
    const Wave way =
        way_from(b.room, p.placement, fault_spot(b, fault), "fault " + std::to_string(i), b.voice.rate);
    Heard h{i, sum_through({{&sound.wave, &way}}), std::move(sound.truth), sound.most, {}};
    h.spectrum = welch(h.wave, b.voice.rate, level_window);
    return h;
}

void fill_rates(const Bench& b, const Motion& motion, const Circumstances& now, TakeTruth& truth) {
    for (const auto& part : b.engine.parts)
        if (now.turns(part.name) && part.turns > 0.0)
            truth.rates.emplace_back(part.name, Ratio{motion.ratio_of(b.engine, part.name)});
    for (const auto& drive : b.engine.drives)
        if (now.turns(drive.name) && drive.turns > 0.0)
            truth.rates.emplace_back(drive.name, Ratio{motion.ratio_of(b.engine, drive.name)});
}

AtMicrophone perform(const Bench& b, const TakePlan& p, Dice dice) {
    double extra = 0.0;
    const auto slipping = slipping_drive(b, p, extra);
    const Motion motion =
        move(b.engine, p.course, b.voice.rate, b.voice.ripple, slipping, extra, dice.fork("motion"));
    const auto now = circumstances(b.engine, p.state);
    AtMicrophone m;
    m.healthy = at_microphone(b, p, render_healthy(b.engine, b.voice, motion, now, dice.fork("healthy")));
    m.spectrum = welch(m.healthy, b.voice.rate, level_window);
    fill_speed_truth(motion.turning, p.course, m.truth);
    fill_rates(b, motion, now, m.truth);
    for (std::size_t i = 0; i < b.faults.size(); ++i)
        if ((p.faults.empty() || p.faults[i]) && sounds_in(b.engine, b.faults[i], now))
            m.faults.push_back(hear(b, p, motion, now, i, dice.fork("fault", i)));
    return m;
}

/// One gain a fault, so that its mean level over the recordings is the wanted one; then each recording's own
/// true level.
void set_levels(const Bench& b, std::vector<AtMicrophone>& takes) {
    for (std::size_t i = 0; i < b.faults.size(); ++i) {
        double sum = 0.0, count = 0.0, most = 0.0;
        for (auto& t : takes)
            for (auto& h : t.faults)
                if (h.fault == i && t.truth.running.second > t.truth.running.first) {
                    const auto band = fault_band(h.spectrum);
                    sum += level_in(h.spectrum, t.spectrum, band);
                    count += 1.0;
                    most = h.most;
                }
        if (count == 0.0) continue;
        double gain = std::pow(10.0, (b.levels[i] - sum / count) / 20.0);
        if (most > 0.0) gain = std::min(gain, most);
        for (auto& t : takes)
            for (auto& h : t.faults)
                if (h.fault == i) {
                    const auto band = fault_band(h.spectrum);
                    h.truth.band = {Hertz{band.first}, Hertz{band.second}};
                    h.truth.level = Decibel{level_in(h.spectrum, t.spectrum, band) + 20.0 * std::log10(gain)};
                    scale(h.wave, gain);
                }
    }
}

void add_disturbances(const Bench& b, const TakePlan& p, AtMicrophone& m, Wave& sound, Dice dice) {
    const double power = mean_power(m.healthy);
    for (const auto& d : p.disturbances) {
        Wave other = disturbance(d.kind, sound.size(), b.voice.rate, Dice(b.room.seed).fork(d.kind),
                                 dice.fork(d.kind));
        if (d.kind != "wind") {
            Dice where = Dice(b.room.seed).fork("stands " + d.kind);
            const Wave way =
                way_from(b.room, p.placement,
                         {where.uniform(-2.0, 2.0), where.uniform(0.0, 1.2), where.uniform(-1.0, 2.0)},
                         d.kind, b.voice.rate);
            other = sum_through({{&other, &way}});
        }
        const double own = mean_power(other);
        // A silent engine is disturbed as a running one would be.
        const double reference = power > 1e-9 ? power : 1.0;
        if (own > 0.0) add(sound, other, std::sqrt(reference / own * std::pow(10.0, d.level_db / 10.0)));
        m.truth.background.push_back(d.kind);
    }
}

/// An engine at rest still leaves the phone with a gain: that of the running engine it was made for.
double job_gain(const Bench& b, const std::vector<AtMicrophone>& takes) {
    for (const auto& t : takes)
        if (t.truth.running.second > t.truth.running.first) {
            Wave sum = t.healthy;
            for (const auto& h : t.faults) add(sum, h.wave);
            return gain_for(sum, b.phone);
        }
    return std::pow(10.0, b.phone.target_db / 20.0) * 0.3;
}

Take finish(const Bench& b, const TakePlan& p, AtMicrophone& m, double gain, Dice dice) {
    Take t;
    t.name = p.name;
    t.side = p.side;
    t.placement = p.placement_number;
    t.state = p.state;
    const auto still = still_set(b.engine, p.state.off);
    t.state.still.assign(still.begin(), still.end());
    Wave sound = m.healthy;
    for (auto& h : m.faults) {
        add(sound, h.wave);
        m.truth.faults.push_back(h.truth);
    }
    add_disturbances(b, p, m, sound, dice.fork("background"));
    t.sound.rate = SampleRate{b.phone.rate};
    t.sound.channels = {through_phone(sound, b.phone, gain, dice.fork("phone"))};
    t.codec = b.phone.codec;
    if (t.codec != "wav") {
        t.encoded = encode(t.sound, t.codec, b.phone.kbit);
        t.sound = decode(t.encoded, t.codec, t.sound.rate);
    }
    m.truth.since_start = Seconds{p.since_start};
    fill_phone_truth(b.phone, m.truth);
    t.truth = std::move(m.truth);
    return t;
}

}  // namespace

Bench make_bench(const Engine& engine, std::uint64_t shop_seed, const Phone& phone, std::uint64_t seed) {
    Bench b;
    b.engine = engine;
    b.voice = make_voice(engine, working_rate(phone));
    b.room = make_room(shop_seed);
    b.phone = phone;
    b.seed = seed;
    return b;
}

std::vector<Take> record(const Bench& bench, const std::vector<TakePlan>& plans) {
    const Dice dice = Dice(bench.seed).fork("record");
    const auto chances_of = [&](std::size_t i) { return plans[i].chances ? plans[i].chances + 1000 : i; };
    std::vector<AtMicrophone> heard;
    for (std::size_t i = 0; i < plans.size(); ++i)
        heard.push_back(perform(bench, plans[i], dice.fork("perform", chances_of(i))));
    set_levels(bench, heard);
    const double gain = job_gain(bench, heard);
    std::vector<Take> takes;
    for (std::size_t i = 0; i < plans.size(); ++i)
        takes.push_back(finish(bench, plans[i], heard[i], gain, dice.fork("finish", chances_of(i))));
    return takes;
}

}  // namespace cranknote::simulate
