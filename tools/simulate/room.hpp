// From each spot on the engine to the microphone.
#pragma once

#include <cstdint>
#include <string>

#include "simulate/dice.hpp"
#include "simulate/sounds.hpp"
#include "simulate/voice.hpp"

namespace cranknote::simulate {

/// A shop, the same for all recordings of a job.
struct Room {
    std::uint64_t seed = 0;
    double width = 6.0, depth = 8.0, height = 3.2;  ///< m
    double rt60 = 0.6;                              ///< s, at 1 kHz
    Spot engine;                                    ///< where the crank's nose is, in the room
    bool outdoors = false;                          ///< a yard: the ground and a wall, no tail
};
[[nodiscard]] Room make_room(std::uint64_t seed);

/// One putting-down of the phone.
struct Placement {
    std::uint64_t seed = 0;
    Spot microphone;        ///< relative to the crank's nose
    double distance = 0.7;  ///< m from the middle of the front
};
/// The first placement of a job; `again` puts the phone down near where it was: a hand's breadth or two off,
/// now and then somewhere else.
[[nodiscard]] Placement put_down(std::uint64_t seed);
[[nodiscard]] Placement put_down_again(const Placement& before, std::uint64_t seed);

/// Impulse response from a spot to the microphone: direct way (partly hidden), the engine bay's near
/// reflections, image sources of first and second order, and a decaying tail. The same for the same
/// arguments; `name` tells sources apart, so that each has its own comb of reflections.
[[nodiscard]] Wave way_from(const Room& room, const Placement& placement, const Spot& source,
                            const std::string& name, double rate);

}  // namespace cranknote::simulate
