#include "simulate/sounds.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace cranknote::simulate {

namespace {

using std::numbers::pi;

struct Corner {
    double cosine, alpha;
    Corner(double hz, double q, double rate) {
        const double w = 2.0 * pi * std::clamp(hz, 1.0, 0.49 * rate) / rate;
        cosine = std::cos(w);
        alpha = std::sin(w) / (2.0 * q);
    }
};

Biquad normalised(double b0, double b1, double b2, double a0, double a1, double a2) {
    return {b0 / a0, b1 / a0, b2 / a0, a1 / a0, a2 / a0};
}

}  // namespace

Biquad Biquad::low_pass(double hz, double q, double rate) {
    const Corner c(hz, q, rate);
    const double b = (1.0 - c.cosine) / 2.0;
    return normalised(b, 2.0 * b, b, 1.0 + c.alpha, -2.0 * c.cosine, 1.0 - c.alpha);
}

Biquad Biquad::high_pass(double hz, double q, double rate) {
    const Corner c(hz, q, rate);
    const double b = (1.0 + c.cosine) / 2.0;
    return normalised(b, -2.0 * b, b, 1.0 + c.alpha, -2.0 * c.cosine, 1.0 - c.alpha);
}

Biquad Biquad::band_pass(double hz, double q, double rate) {
    const Corner c(hz, q, rate);
    return normalised(c.alpha, 0.0, -c.alpha, 1.0 + c.alpha, -2.0 * c.cosine, 1.0 - c.alpha);
}

Biquad Biquad::peak(double hz, double q, double db, double rate) {
    const Corner c(hz, q, rate);
    const double a = std::pow(10.0, db / 40.0);
    return normalised(1.0 + c.alpha * a, -2.0 * c.cosine, 1.0 - c.alpha * a, 1.0 + c.alpha / a,
                      -2.0 * c.cosine, 1.0 - c.alpha / a);
}

Biquad Biquad::high_shelf(double hz, double db, double rate) {
    const Corner c(hz, 0.7071, rate);
    const double a = std::pow(10.0, db / 40.0);
    const double s = 2.0 * std::sqrt(a) * c.alpha;
    return normalised(a * (a + 1.0 + (a - 1.0) * c.cosine + s), -2.0 * a * (a - 1.0 + (a + 1.0) * c.cosine),
                      a * (a + 1.0 + (a - 1.0) * c.cosine - s), a + 1.0 - (a - 1.0) * c.cosine + s,
                      2.0 * (a - 1.0 - (a + 1.0) * c.cosine), a + 1.0 - (a - 1.0) * c.cosine - s);
}

namespace {

/// N sections in one pass: each waits only for its own last sample, so that they overlap in the processor.
template <std::size_t N>
void filter_pass(Wave& wave, const Biquad* sections) {
    struct State {
        float b0, b1, b2, a1, a2, z1 = 0.0F, z2 = 0.0F;
    };
    std::array<State, N> state;
    for (std::size_t k = 0; k < N; ++k) {
        const auto& f = sections[k];
        state[k] = {static_cast<float>(f.b0), static_cast<float>(f.b1), static_cast<float>(f.b2),
                    static_cast<float>(f.a1), static_cast<float>(f.a2)};
    }
    for (float& sample : wave) {
        float x = sample;
        for (auto& s : state) {
            const float y = s.b0 * x + s.z1;
            s.z1 = s.b1 * x - s.a1 * y + s.z2;
            s.z2 = s.b2 * x - s.a2 * y;
            x = y;
        }
        sample = x;
    }
}

}  // namespace

void filter(Wave& wave, const Biquad& section) { filter_pass<1>(wave, &section); }

void filter(Wave& wave, const std::vector<Biquad>& sections) {
    std::size_t done = 0;
    for (; done + 4 <= sections.size(); done += 4) filter_pass<4>(wave, &sections[done]);
    if (done + 2 <= sections.size()) {
        filter_pass<2>(wave, &sections[done]);
        done += 2;
    }
    if (done < sections.size()) filter_pass<1>(wave, &sections[done]);
}

Wave ring(const std::vector<Mode>& modes, double attack, double rate) {
    double longest = 0.0;
    for (const auto& m : modes) longest = std::max(longest, m.decay);
    Wave wave(static_cast<std::size_t>((5.0 * longest + attack) * rate) + 1);
    for (const auto& m : modes) {
        if (m.hz > 0.47 * rate) continue;
        // A damped rotation: two multiplications a sample instead of a sine.
        const double w = 2.0 * pi * m.hz / rate;
        const double keep = std::exp(-1.0 / (m.decay * rate));
        double re = m.gain * std::cos(m.phase), im = m.gain * std::sin(m.phase);
        const double c = keep * std::cos(w), s = keep * std::sin(w);
        for (auto& x : wave) {
            x += static_cast<float>(im);
            const double t = re * c - im * s;
            im = re * s + im * c;
            re = t;
        }
    }
    const auto rise = std::max<std::size_t>(1, static_cast<std::size_t>(attack * rate));
    for (std::size_t i = 0; i < std::min(rise, wave.size()); ++i)
        wave[i] *= static_cast<float>(
            0.5 - 0.5 * std::cos(pi * static_cast<double>(i + 1) / static_cast<double>(rise + 1)));
    return wave;
}

Wave burst(double low_hz, double high_hz, double attack, double decay, double rate, Dice dice) {
    Wave wave = white(static_cast<std::size_t>((attack + 4.0 * decay) * rate) + 1, dice);
    filter(wave, {Biquad::high_pass(low_hz, 0.7071, rate), Biquad::low_pass(high_hz, 0.7071, rate)});
    for (std::size_t i = 0; i < wave.size(); ++i) {
        const double t = static_cast<double>(i) / rate;
        wave[i] *= static_cast<float>(t < attack ? t / attack : std::exp(-(t - attack) / decay));
    }
    return wave;
}

Wave bump(double width, double rate) {
    Wave wave(static_cast<std::size_t>(width * rate) + 2);
    for (std::size_t i = 0; i < wave.size(); ++i)
        wave[i] = static_cast<float>(
            0.5 - 0.5 * std::cos(2.0 * pi * static_cast<double>(i) / static_cast<double>(wave.size())));
    return wave;
}

double energy(std::span<const float> wave) {
    double sum = 0.0;
    for (const float x : wave) sum += static_cast<double>(x) * static_cast<double>(x);
    return sum;
}

double mean_power(std::span<const float> wave) {
    return wave.empty() ? 0.0 : energy(wave) / static_cast<double>(wave.size());
}

void scale(Wave& wave, double gain) {
    const auto g = static_cast<float>(gain);
    for (float& x : wave) x *= g;
}

void set_train_power(Wave& pulse, double per_second, double power, double rate) {
    const double now = energy(pulse) * per_second / rate;
    if (now > 0.0) scale(pulse, std::sqrt(power / now));
}

void add_at(Wave& out, double at, float gain, const Wave& pulse) {
    const double whole = std::floor(at);
    const auto start = static_cast<std::ptrdiff_t>(whole);
    const float late = gain * static_cast<float>(at - whole), early = gain - late;
    const auto size = static_cast<std::ptrdiff_t>(out.size());
    const auto length = static_cast<std::ptrdiff_t>(pulse.size());
    if (start < 0 || start >= size || length == 0) return;
    const auto end = std::min(length, size - start);
    float* o = out.data() + start;
    const float* p = pulse.data();
    o[0] += early * p[0];
    for (std::ptrdiff_t i = 1; i < end; ++i) o[i] += early * p[i] + late * p[i - 1];
}

void add(Wave& out, const Wave& other, double gain) {
    const auto g = static_cast<float>(gain);
    for (std::size_t i = 0; i < std::min(out.size(), other.size()); ++i) out[i] += g * other[i];
}

TurnTable::TurnTable(const std::vector<Harmonic>& harmonics) {
    double highest = 1.0;
    for (const auto& h : harmonics) highest = std::max(highest, h.per_turn);
    const auto points = std::clamp<std::size_t>(static_cast<std::size_t>(24.0 * highest), 256, 16384);
    table_.assign(points + 1, 0.0F);
    for (const auto& h : harmonics)
        for (std::size_t i = 0; i <= points; ++i)
            table_[i] +=
                static_cast<float>(h.amplitude * std::sin(2.0 * pi * h.per_turn * static_cast<double>(i) /
                                                              static_cast<double>(points) +
                                                          h.phase));
}

TurnTable::TurnTable(const std::function<double(double)>& of_turn, std::size_t points) : table_(points + 1) {
    for (std::size_t i = 0; i <= points; ++i)
        table_[i] =
            static_cast<float>(of_turn(static_cast<double>(i % points) / static_cast<double>(points)));
}

void add_tone(Wave& out, std::span<const double> turns, const TurnTable& table, double gain) {
    const auto g = static_cast<float>(gain);
    for (std::size_t i = 0; i < out.size(); ++i) out[i] += g * table.at(turns[i]);
}

float SlowGain::at(std::size_t sample, double rate) const {
    if (values.empty()) return 1.0F;
    const double x = static_cast<double>(sample) / rate * 100.0;
    const auto i = static_cast<std::size_t>(x);
    if (i + 1 >= values.size()) return values.back();
    return values[i] + (values[i + 1] - values[i]) * static_cast<float>(x - static_cast<double>(i));
}

void multiply(Wave& wave, const SlowGain& gain, double rate) {
    if (gain.values.empty()) return;
    for (std::size_t i = 0; i < wave.size(); ++i) wave[i] *= gain.at(i, rate);
}

Wave white(std::size_t samples, Dice dice) {
    Wave wave(samples);
    for (float& x : wave) x = dice.noise();
    return wave;
}

Wave coloured(std::size_t samples, const std::vector<Biquad>& sections, Dice dice) {
    // Scaled by the filters' own gain rather than by this wave's power, so that a level is a property of the
    // engine and not of one recording: measured once on an impulse.
    Wave impulse(4096);
    impulse[0] = 1.0F;
    filter(impulse, sections);
    Wave wave = white(samples, dice);
    filter(wave, sections);
    const double gain = energy(impulse);
    if (gain > 0.0) scale(wave, 1.0 / std::sqrt(gain));
    return wave;
}

}  // namespace cranknote::simulate
