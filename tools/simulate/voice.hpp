// How one engine sounds when it is healthy: constants drawn once per engine, and the rendering of a stretch.
#pragma once

#include <array>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "simulate/course.hpp"
#include "simulate/engine.hpp"
#include "simulate/sounds.hpp"

namespace cranknote::simulate {

/// Where on the engine a sound leaves it; each has its own way to the microphone.
enum class Place { block, head, exhaust, front, left, right };
inline constexpr std::size_t places = 6;
using Stems = std::array<Wave, places>;  ///< one wave a place, all equally long; empty: silent

struct Spot {
    double x = 0.0, y = 0.0, z = 0.0;  ///< metres; from the crank's nose: x right, y up, z towards the viewer
};
[[nodiscard]] Spot spot_of(Place place);
/// A part's own spot; a drive's is the middle of its route; engine names have the place they are heard from.
[[nodiscard]] Spot spot_of(const Engine& engine, std::string_view name);
[[nodiscard]] Place place_of(const TruePart& part);

/// What is off, loaded or cold while a stretch is made.
struct Circumstances {
    std::set<std::string> off, still;
    std::set<std::string> with;  ///< checks
    bool cold = false;
    int dead_cylinder = 0;  ///< cylinder-cut: its number; 0: none
    [[nodiscard]] bool turns(std::string_view name) const { return !still.contains(std::string(name)); }
};
[[nodiscard]] Circumstances circumstances(const Engine& engine, const TrueState& state);

/// Turning of the crank and of the friction drives in one stretch.
struct Motion {
    Turning turning;
    std::vector<std::pair<std::string, std::vector<float>>> crept;  ///< by drive: crank turns lost

    /// Turns of a part, or of a drive's whole loop, sample by sample.
    [[nodiscard]] std::vector<double> turns_of(const Engine& engine, std::string_view name) const;
    /// Mean turns per crank turn over the stretch, creep included.
    [[nodiscard]] double ratio_of(const Engine& engine, std::string_view name) const;
};
/// extra_creep: added to a drive's own (a slipping belt), by name.
[[nodiscard]] Motion move(const Engine& engine, const Course& course, double rate, double ripple,
                          const std::string& slipping, double extra_creep, Dice dice);

/// A regular knock of the cycle: what ticks, when in the cycle, how loud.
struct Tick {
    double at_deg = 0.0;  ///< of the cycle
    double gain = 1.0;
    std::size_t pulse = 0;  ///< index into Voice::tick_pulses
    Place place = Place::head;
};

struct CylinderVoice {
    double at_deg = 0.0;  ///< when it fires, its own small offset included
    double gain = 1.0;
    int number = 1;
    Wave thump;  ///< block
    Wave puff;   ///< exhaust
};

/// A healthy tone that turns with a part or a drive.
struct HealthyTone {
    std::string owner;
    std::string needs;  ///< a check that must be on: "ac-on" for a compressor; empty: always there
    Place place = Place::front;
    TurnTable table;
    double gain = 0.0;
    double ratio = 0.0;  ///< of its strongest line per crank turn
};

struct Noise {
    std::string owner;  ///< silent when it stands still; empty: the engine's own
    Place place = Place::block;
    std::vector<Biquad> colour;
    double power = 0.0;
    double depth = 0.0;       ///< how far it swells with firing (0..1), or with its owner's turns
    bool with_speed = false;  ///< power grows with the square of speed (fans, flow)
};

struct Voice {
    double rate = 48000.0;
    double ripple = 0.01;        ///< speed ripple within the cycle at 800 rpm
    double firing_spread = 0.1;  ///< from cycle to cycle, of each pulse's strength
    double firing_jitter_deg = 0.5;
    std::vector<CylinderVoice> cylinders;
    std::vector<Wave> tick_pulses;
    std::vector<Tick> ticks;
    double tick_spread = 0.1;
    std::vector<Wave> crackle;  ///< bursts that never repeat quite: one is taken at each firing
    double crackle_gain = 0.0;
    std::vector<Noise> noises;
    std::vector<HealthyTone> tones;
    TurnTable swell{[](double) { return 0.0; }, 8};  ///< of the cycle: mean 0, firing by firing
};

[[nodiscard]] Voice make_voice(const Engine& engine, double rate);

/// The healthy engine over one stretch. Where it does not fire, only what turns is heard.
[[nodiscard]] Stems render_healthy(const Engine& engine, const Voice& voice, const Motion& motion,
                                   const Circumstances& now, Dice dice);

/// Share of firing strength that loads ask for, 1 at plain idle (steering on lock, lamps, air conditioning).
[[nodiscard]] double load_of(const Circumstances& now);

}  // namespace cranknote::simulate
