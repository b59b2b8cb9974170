#include "simulate/background.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace cranknote::simulate {

namespace {

using std::numbers::pi;

/// One syllable: a voice's pulses ringing in three formants, and now and then a hiss before it.
void syllable(Wave& out, double at, double seconds, double pitch, double rate, Dice& dice) {
    const std::vector<Mode> formants{{dice.uniform(280, 800), 0.006, 1.0, 0.0},
                                     {dice.uniform(900, 2300), 0.004, 0.5, 0.0},
                                     {dice.uniform(2300, 3200), 0.003, 0.25, 0.0}};
    const Wave pulse = ring(formants, 0.0005, rate);
    const double glide = dice.uniform(-0.25, 0.15);
    for (double t = 0.0; t < seconds;) {
        const double strength = std::sin(pi * t / seconds);
        add_at(out, (at + t) * rate, static_cast<float>(strength), pulse);
        t += 1.0 / (pitch * (1.0 + glide * t / seconds) * dice.uniform(0.99, 1.01));
    }
    if (dice.chance(0.4))
        add_at(out, (at - 0.06) * rate, 0.12F,
               burst(2500.0, 8000.0, 0.03, 0.03, rate, dice.fork("hiss", dice.next())));
}

Wave speech(std::size_t samples, double rate, Dice dice) {
    Wave out(samples);
    const double seconds = static_cast<double>(samples) / rate;
    for (int talker = dice.between(1, 3); talker > 0; --talker) {
        const double pitch = dice.ratio(90.0, 230.0);
        for (double t = dice.uniform(0.1, 2.0); t < seconds;) {
            for (int n = dice.between(3, 14); n > 0 && t < seconds; --n) {
                const double length = dice.uniform(0.09, 0.24);
                syllable(out, t, length, pitch * dice.uniform(0.85, 1.2), rate, dice);
                t += length + dice.uniform(0.01, 0.08);
            }
            t += dice.uniform(0.4, 2.5);
        }
    }
    return out;
}

Wave wind(std::size_t samples, double rate, Dice dice) {
    Wave out = coloured(
        samples,
        {Biquad::low_pass(dice.uniform(120.0, 300.0), 0.6, rate), Biquad::high_pass(15.0, 0.7, rate)},
        dice.fork("roar"));
    Wave gust = coloured(samples / 512 + 2, {Biquad::low_pass(0.5, 0.6, rate / 512.0)}, dice.fork("gust"));
    for (std::size_t i = 0; i < samples; ++i) out[i] *= std::exp(1.2F * gust[i / 512]);
    return out;
}

Wave clanks(std::size_t samples, double rate, Dice dice) {
    Wave out(samples);
    const double seconds = static_cast<double>(samples) / rate;
    for (double t = dice.uniform(0.5, 3.0); t < seconds; t += dice.uniform(1.0, 7.0)) {
        std::vector<Mode> modes;
        for (int i = 0; i < 8; ++i)
            modes.push_back({dice.ratio(600.0, 9000.0), dice.uniform(0.02, 0.18), dice.uniform(0.2, 1.0),
                             dice.uniform(0.0, 6.28)});
        add_at(out, t * rate, static_cast<float>(dice.uniform(0.3, 1.0)), ring(modes, 0.0002, rate));
    }
    return out;
}

/// Lines at multiples of one frequency that drifts a little, over some noise.
Wave machine(std::size_t samples, double rate, double hz, double drift, const std::vector<double>& lines,
             double noise, std::vector<Biquad> colour, Dice dice, Dice live) {
    std::vector<TurnTable::Harmonic> harmonics;
    for (std::size_t i = 0; i < lines.size(); ++i)
        harmonics.push_back({static_cast<double>(i + 1), lines[i], dice.uniform(0.0, 2.0 * pi)});
    const TurnTable table(harmonics);
    Wave out = coloured(samples, colour, live.fork("noise"));
    scale(out, noise);
    double turns = 0.0;
    const double slow = dice.uniform(0.03, 0.2), phase = live.uniform(0.0, 2.0 * pi);
    for (std::size_t i = 0; i < samples; ++i) {
        const double t = static_cast<double>(i) / rate;
        out[i] += table.at(turns);
        turns += hz * (1.0 + drift * std::sin(2.0 * pi * slow * t + phase)) / rate;
    }
    return out;
}

Wave hum(std::size_t samples, double rate, Dice dice, Dice live) {
    const double mains = dice.chance(0.6) ? 50.0 : 60.0;
    std::vector<double> lines(12, 0.0);
    for (std::size_t i = 0; i < lines.size(); ++i)
        lines[i] =
            dice.uniform(0.1, 1.0) / (i % 2 == 0 ? 2.5 : 1.0) / std::sqrt(1.0 + static_cast<double>(i));
    return machine(samples, rate, mains, 0.0003, lines, 0.0, {}, dice, live);
}

Wave compressor(std::size_t samples, double rate, Dice dice, Dice live) {
    std::vector<double> lines(24);
    for (std::size_t i = 0; i < lines.size(); ++i)
        lines[i] = dice.uniform(0.2, 1.0) / (1.0 + 0.15 * static_cast<double>(i));
    return machine(samples, rate, dice.uniform(11.0, 24.5), 0.004, lines, 0.8,
                   {Biquad::high_pass(200.0, 0.7, rate), Biquad::low_pass(3000.0, 0.6, rate)}, dice, live);
}

Wave fan(std::size_t samples, double rate, Dice dice, Dice live) {
    return machine(samples, rate, dice.uniform(120.0, 420.0), 0.003, {1.0, 0.4, 0.25, 0.1}, 1.6,
                   {Biquad::high_pass(150.0, 0.7, rate), Biquad::low_pass(3500.0, 0.6, rate)}, dice, live);
}

Wave other_engine(std::size_t samples, double rate, Dice dice, Dice live) {
    const double cycle = dice.uniform(5.0, 8.5);  // half orders of an idle at 600 to 1020 rpm
    std::vector<double> lines(40);
    const int cylinders = dice.chance(0.6) ? 4 : 6;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const bool firing = (static_cast<int>(i) + 1) % cylinders == 0;
        lines[i] = (firing ? 1.0 : dice.uniform(0.05, 0.3)) / (1.0 + 0.08 * static_cast<double>(i));
    }
    return machine(samples, rate, cycle, 0.008, lines, 0.7,
                   {Biquad::high_pass(150.0, 0.7, rate), Biquad::low_pass(2000.0, 0.6, rate)}, dice, live);
}

}  // namespace

std::vector<Disturbance> draw_disturbances(double share, Dice& dice) {
    std::vector<Disturbance> all;
    if (!dice.chance(share)) return all;
    struct Row {
        const char* kind;
        double low, high;
    };
    static constexpr std::array rows{
        Row{"speech", -28, -10}, Row{"wind", -20, -2}, Row{"clanks", -30, -12}, Row{"compressor", -30, -12},
        Row{"hum", -35, -15},    Row{"hum", -35, -15}, Row{"fan", -30, -14},    Row{"engine", -30, -15}};
    for (int n = dice.chance(0.25) ? 2 : 1; n > 0; --n) {
        const auto& row = rows[static_cast<std::size_t>(dice.pick(static_cast<int>(rows.size())))];
        all.push_back({row.kind, dice.uniform(row.low, row.high)});
    }
    return all;
}

Wave disturbance(const std::string& kind, std::size_t samples, double rate, Dice dice, Dice live) {
    Wave wave;
    if (kind == "speech") wave = speech(samples, rate, live);
    if (kind == "wind") wave = wind(samples, rate, live);
    if (kind == "clanks") wave = clanks(samples, rate, live);
    if (kind == "hum") wave = hum(samples, rate, dice, live);
    if (kind == "compressor") wave = compressor(samples, rate, dice, live);
    if (kind == "fan") wave = fan(samples, rate, dice, live);
    if (kind == "engine") wave = other_engine(samples, rate, dice, live);
    wave.resize(samples);
    const double power = mean_power(wave);
    if (power > 0.0) scale(wave, 1.0 / std::sqrt(power));
    return wave;
}

}  // namespace cranknote::simulate
