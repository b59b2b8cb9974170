#include "not_engines.hpp"

#include <cmath>
#include <numbers>
#include <random>
#include <stdexcept>

namespace cranknote::score {

namespace {

constexpr double tau = 2.0 * std::numbers::pi;
using Random = std::mt19937_64;

double uniform(Random& r, double a, double b) {
    return a + (b - a) * static_cast<double>(r() >> 11) / 9007199254740992.0;
}

double normal(Random& r) {
    double s = -6.0;
    for (int i = 0; i < 12; ++i) s += uniform(r, 0.0, 1.0);
    return s;
}

void add_noise(std::vector<float>& x, Random& r, double level) {
    for (auto& v : x) v += static_cast<float>(level * normal(r));
}

void add_rumble(std::vector<float>& x, Random& r, double level) {
    double y = 0.0;
    for (auto& v : x) {
        y = 0.995 * y + normal(r);
        v += static_cast<float>(level * 0.1 * y);
    }
}

/// Harmonics of a pitch that goes from f to g, fading in and out, from second `at` for `length` seconds.
void add_note(std::vector<float>& x, double at, double length, double f, double g, double level,
              double tilt) {
    const auto first = static_cast<std::size_t>(at * other_sound_rate);
    const auto n = static_cast<std::size_t>(length * other_sound_rate);
    double phase = 0.0;
    for (std::size_t i = 0; i < n && first + i < x.size(); ++i) {
        const double t = static_cast<double>(i) / static_cast<double>(n);
        phase += tau * (f + (g - f) * t) / other_sound_rate;
        double sum = 0.0;
        for (int k = 1; k <= 12; ++k) sum += std::pow(k, -tilt) * std::sin(k * phase);
        x[first + i] += static_cast<float>(level * sum * std::sin(0.5 * tau * t));
    }
}

void add_music(std::vector<float>& x, Random& r) {
    const double beat = uniform(r, 0.25, 0.6), end = static_cast<double>(x.size()) / other_sound_rate;
    constexpr double scale[] = {1.0, 1.125, 1.25, 1.5, 1.667};
    for (double t = 0.0; t < end; t += beat)
        for (int voice = 0; voice < 3; ++voice) {
            const double f = uniform(r, 0.0, 1.0) < 0.5 ? 110.0 : 220.0;
            const double pitch = f * scale[r() % 5];
            add_note(x, t, beat * (voice == 0 ? 1.0 : 2.0), pitch, pitch, 0.1, 1.2);
        }
}

void add_voice(std::vector<float>& x, Random& r) {
    const double end = static_cast<double>(x.size()) / other_sound_rate, pitch = uniform(r, 95.0, 220.0);
    for (double t = 0.0; t < end;) {
        const double length = uniform(r, 0.08, 0.35);
        add_note(x, t, length, pitch * uniform(r, 0.85, 1.2), pitch * uniform(r, 0.85, 1.2), 0.2, 0.7);
        t += length + (uniform(r, 0.0, 1.0) < 0.2 ? uniform(r, 0.2, 0.8) : uniform(r, 0.0, 0.1));
    }
}

void add_clicks(std::vector<float>& x, Random& r) {
    const double rate = uniform(r, 4.0, 40.0);  // a second, at random
    for (auto& v : x)
        if (uniform(r, 0.0, 1.0) < rate / other_sound_rate) v += static_cast<float>(uniform(r, 0.2, 0.9));
    double y = 0.0;
    for (auto& v : x) v = static_cast<float>(y = 0.9 * y + static_cast<double>(v));
}

void add_tone(std::vector<float>& x, Random& r) {
    const double f = uniform(r, 60.0, 2000.0);
    for (std::size_t i = 0; i < x.size(); ++i)
        x[i] += static_cast<float>(0.2 * std::sin(tau * f * static_cast<double>(i) / other_sound_rate));
}

void add_hum(std::vector<float>& x, Random& r) {
    const double mains = uniform(r, 0.0, 1.0) < 0.5 ? 50.0 : 60.0;
    for (int k = 1; k <= 8; ++k) {
        const double level = 0.1 * uniform(r, 0.0, 1.0) / k, phase = uniform(r, 0.0, tau);
        for (std::size_t i = 0; i < x.size(); ++i)
            x[i] += static_cast<float>(
                level * std::sin(tau * k * mains * static_cast<double>(i) / other_sound_rate + phase));
    }
}

}  // namespace

const std::vector<std::string>& kinds_of_other_sound() {
    static const std::vector<std::string> kinds{"noise", "rumble", "tone", "music", "voice", "clicks", "hum"};
    return kinds;
}

std::vector<float> other_sound(const std::string& kind, std::uint64_t seed) {
    Random r(seed * 7919 + 13);
    std::vector<float> x(static_cast<std::size_t>(10.0 * other_sound_rate), 0.0F);
    if (kind == "noise")
        add_noise(x, r, 0.05);
    else if (kind == "rumble")
        add_rumble(x, r, 0.1);
    else if (kind == "tone")
        add_tone(x, r);
    else if (kind == "music")
        add_music(x, r);
    else if (kind == "voice")
        add_voice(x, r);
    else if (kind == "clicks")
        add_clicks(x, r);
    else if (kind == "hum")
        add_hum(x, r);
    else
        throw std::invalid_argument("no such sound: " + kind);
    add_noise(x, r, kind == "noise" ? 0.0 : uniform(r, 0.0005, 0.01));
    return x;
}

}  // namespace cranknote::score
