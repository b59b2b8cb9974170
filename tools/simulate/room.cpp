#include "simulate/room.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cranknote::simulate {

namespace {

constexpr double sound_speed = 343.0;  // m/s at 20 °C
using std::numbers::pi;

double between(const Spot& a, const Spot& b) {
    return std::hypot(a.x - b.x, std::hypot(a.y - b.y, a.z - b.z));
}

/// Adds one echo with a fraction of a sample's delay: a windowed sinc of 12 points.
void echo(Wave& response, double at, double gain) {
    const auto centre = static_cast<std::ptrdiff_t>(std::lround(at));
    for (std::ptrdiff_t i = centre - 6; i <= centre + 6; ++i) {
        if (i < 0 || i >= static_cast<std::ptrdiff_t>(response.size())) continue;
        const double x = static_cast<double>(i) - at;
        if (std::abs(x) >= 6.5) continue;
        const double sinc = std::abs(x) < 1e-9 ? 1.0 : std::sin(pi * x) / (pi * x);
        response[static_cast<std::size_t>(i)] +=
            static_cast<float>(gain * sinc * (0.5 + 0.5 * std::cos(pi * x / 6.5)));
    }
}

/// One coordinate of an image: reflections -1, 0, 1, 2 ... of x in a room from 0 to `size`.
double image(double x, double size, int order) {
    return order % 2 == 0 ? order * size + x : (order + 1) * size - x;
}

/// Image sources up to second order; each wall takes `absorbed` of the amplitude away, more at high pitch.
void walls(Wave& response, const Room& room, const Spot& source, const Spot& mic, double rate) {
    const double keep = room.outdoors ? 0.25 : std::clamp(1.0 - 0.09 / room.rt60 * 3.0, 0.35, 0.92);
    Wave soft(response.size());
    for (int ix = -1; ix <= 1; ++ix)
        for (int iy = -1; iy <= 1; ++iy)
            for (int iz = -1; iz <= 1; ++iz) {
                const int order = std::abs(ix) + std::abs(iy) + std::abs(iz);
                if (order == 0 || order > 2) continue;
                if (room.outdoors && !(iy == -1 && order == 1)) continue;  // the ground alone
                const Spot from{image(source.x, room.width, ix), image(source.y, room.height, iy),
                                image(source.z, room.depth, iz)};
                const double d = between(from, mic);
                echo(order == 1 ? response : soft, d / sound_speed * rate, std::pow(keep, order) / d);
            }
    filter(soft, Biquad::low_pass(5000.0, 0.6, rate));
    add(response, soft);
}

/// The bay: bonnet, wings, radiator and block throw the sound about within a few milliseconds.
void bay(Wave& response, double direct_at, double direct, double rate, Dice dice) {
    const int count = dice.between(7, 14);
    for (int i = 0; i < count; ++i) {
        const double late = dice.ratio(0.00025, 0.005);
        const double gain = direct * dice.uniform(0.12, 0.5) * std::exp(-late / 0.003);
        echo(response, direct_at + late * rate, dice.chance(0.5) ? gain : -gain);
    }
}

/// The tail: noise that decays by 60 dB in rt60, faster at high pitch; its energy follows from Sabine's room
/// constant.
void tail(Wave& response, const Room& room, double rate, Dice dice) {
    if (room.outdoors) return;
    const double volume = room.width * room.depth * room.height;
    // Reverberant energy re the free field at 1 m: 16 pi / A, with A = 0.161 V / rt60.
    const double energy_total = 16.0 * pi * room.rt60 / (0.161 * volume);
    const double begin = 0.004 * rate;
    const double fade = std::log(1000.0) / (room.rt60 * rate);
    const double fade_high = 2.2 * fade;
    const double level = std::sqrt(energy_total * 2.0 * fade);
    double low = 0.0;
    const double pole = std::exp(-2.0 * pi * 2500.0 / rate);
    for (auto i = static_cast<std::size_t>(begin); i < response.size(); ++i) {
        const double t = static_cast<double>(i) - begin;
        const double n = static_cast<double>(dice.noise());
        low = pole * low + (1.0 - pole) * n;
        const double rise = 1.0 - std::exp(-t / (0.006 * rate));
        response[i] += static_cast<float>(
            level * rise * (low * std::exp(-fade * t) + (n - low) * 0.7 * std::exp(-fade_high * t)));
    }
}

}  // namespace

Room make_room(std::uint64_t seed) {
    Dice dice = Dice(seed).fork("room");
    Room r;
    r.seed = seed;
    r.outdoors = dice.chance(0.12);
    r.width = dice.uniform(3.0, 12.0);
    r.depth = dice.uniform(5.5, 18.0);
    r.height = dice.uniform(2.4, 5.0);
    r.rt60 = std::clamp(dice.ratio(0.3, 1.3) * std::cbrt(r.width * r.depth * r.height / 150.0), 0.3, 1.5);
    r.engine = {r.width * dice.uniform(0.35, 0.65), dice.uniform(0.45, 0.7),
                r.depth * dice.uniform(0.25, 0.6)};
    return r;
}

Placement put_down(std::uint64_t seed) {
    Dice dice = Dice(seed).fork("placement");
    Placement p;
    p.seed = seed;
    p.distance = dice.ratio(0.3, 1.4);
    const double side = dice.normal(0.0, 0.45), up = dice.uniform(-0.1, 0.9);
    p.microphone = {p.distance * std::sin(side) * std::cos(up), 0.2 + p.distance * std::sin(up),
                    p.distance * std::cos(side) * std::cos(up)};
    return p;
}

Placement put_down_again(const Placement& before, std::uint64_t seed) {
    Dice dice = Dice(seed).fork("again");
    if (dice.chance(0.1)) return put_down(seed);
    Placement p = before;
    p.seed = seed;
    const double off = dice.uniform(0.03, 0.15);
    p.microphone.x += dice.normal(0.0, off);
    p.microphone.y += dice.normal(0.0, off);
    p.microphone.z = std::max(0.2, p.microphone.z + dice.normal(0.0, off));
    p.distance = between(p.microphone, {0.0, 0.2, 0.0});
    return p;
}

Wave way_from(const Room& room, const Placement& placement, const Spot& source, const std::string& name,
              double rate) {
    Dice dice = Dice(room.seed ^ (placement.seed * 0x9E3779B97F4A7C15ULL)).fork(name);
    const Spot from{room.engine.x + source.x, room.engine.y + source.y, room.engine.z + source.z};
    const Spot mic{std::clamp(room.engine.x + placement.microphone.x, 0.1, room.width - 0.1),
                   std::clamp(room.engine.y + placement.microphone.y, 0.1, room.height - 0.1),
                   std::clamp(room.engine.z + placement.microphone.z, 0.1, room.depth - 0.1)};
    // Heard down to 45 dB below: what is left of the tail then is under any noise floor here.
    const double seconds = room.outdoors ? 0.08 : std::min(0.68, 0.75 * room.rt60) + 0.03;
    Wave response(static_cast<std::size_t>(seconds * rate));
    const double d = std::max(0.15, between(from, mic));
    // Half hidden: parts in the way take some of the direct sound, the high pitches most. What hides it is
    // the engine's, so most of it stays when the phone is put down again; a little does not.
    Dice lasting = Dice(room.seed).fork("hidden " + name);
    const double seen = std::clamp(lasting.uniform(0.3, 1.1) + dice.normal(0.0, 0.12), 0.15, 1.1);
    echo(response, d / sound_speed * rate, seen / d);
    bay(response, d / sound_speed * rate, 1.0 / d, rate, dice.fork("bay"));
    filter(response, Biquad::high_shelf(lasting.uniform(1500.0, 6000.0),
                                        lasting.uniform(-8.0, 0.0) + dice.normal(0.0, 1.0), rate));
    walls(response, room, from, mic, rate);
    tail(response, room, rate, dice.fork("tail"));
    return response;
}

}  // namespace cranknote::simulate
