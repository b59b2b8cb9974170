// What can be wrong with an engine, and how that sounds.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "simulate/truth.hpp"
#include "simulate/voice.hpp"

namespace cranknote::simulate {

/// One thing that is wrong. Its own constants (pitches, gates, which cylinder) follow from `seed`, so that it
/// is the same fault in every recording of a job.
struct Fault {
    TrueCause cause;
    std::string variant;  ///< which of its ways: "outer race", "belt turn", "whine", ...
    std::uint64_t seed = 0;
    double presence = 1.0;     ///< share of the time in which it sounds
    double extra_creep = 0.0;  ///< slip: what the belt loses besides its creep
};

/// Everything that can be wrong with an engine: all kinds of the contract that it has parts for. Seeds 0.
[[nodiscard]] std::vector<Fault> possible_faults(const Engine& engine);

/// Whether it can be heard in such circumstances; strength 1 at plain idle, more or less under loads.
[[nodiscard]] bool sounds_in(const Engine& engine, const Fault& fault, const Circumstances& now);
[[nodiscard]] double strength_in(const Engine& engine, const Fault& fault, const Circumstances& now);

/// What has to be off for it to fall silent, if anything can come off: names for a state's `off`. Empty: only
/// a repair.
[[nodiscard]] std::vector<std::string> silenced_by(const Engine& engine, const Fault& fault);

/// One fault over one stretch, not yet at its level (level and band of `truth` are not set).
struct FaultSound {
    Wave wave;
    TrueFault truth;
    double most = 0.0;  ///< the highest gain that makes sense (a dead cylinder cannot be deader); 0: any
};
[[nodiscard]] FaultSound render_fault(const Engine& engine, const Voice& voice, const Motion& motion,
                                      const Circumstances& now, const Fault& fault, Dice dice);

}  // namespace cranknote::simulate
