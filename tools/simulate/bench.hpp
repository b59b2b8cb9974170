// A job on the bench: one engine, one shop, one phone, its faults; and recordings of it as planned.
#pragma once

#include <string>
#include <vector>

#include "simulate/background.hpp"
#include "simulate/course.hpp"
#include "simulate/engine.hpp"
#include "simulate/fault.hpp"
#include "simulate/phone.hpp"
#include "simulate/room.hpp"
#include "simulate/take.hpp"
#include "simulate/voice.hpp"

namespace cranknote::simulate {

struct Bench {
    Engine engine;
    Voice voice;
    Room room;
    Phone phone;
    std::vector<Fault> faults;
    std::vector<double> levels;  ///< dB wanted for each, the mean over the recordings in which it sounds
    std::uint64_t seed = 0;      ///< of everything that differs from recording to recording
};
[[nodiscard]] Bench make_bench(const Engine& engine, std::uint64_t shop_seed, const Phone& phone,
                               std::uint64_t seed);

/// What one recording is to be.
struct TakePlan {
    std::string name = "a1";
    char side = 'a';
    Course course;
    TrueState state;
    Placement placement;
    int placement_number = 0;
    std::vector<bool> faults;  ///< which of the bench's faults are in it (not repaired); empty: all
    std::vector<Disturbance> disturbances;
    double since_start = -1.0;  ///< s; negative: warm
    std::uint64_t chances =
        0;  ///< seed of what differs from take to take; 0: its place in the plan. Equal: no difference
};

/// Makes the recordings. Faults get their level at the microphone first, so that one fault has one strength
/// at its source in all of them.
[[nodiscard]] std::vector<Take> record(const Bench& bench, const std::vector<TakePlan>& plans);

}  // namespace cranknote::simulate
