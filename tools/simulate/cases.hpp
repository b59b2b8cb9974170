// How cases of the sets are drawn. Internal to the simulator.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "simulate/bench.hpp"
#include "simulate/sets.hpp"

namespace cranknote::simulate {

struct CaseKey {
    Set set = Set::tune;
    Purpose purpose = Purpose::speed;
    int index = 0;
};

/// Engines 1 to 500 are for tuning, 100001 to 100500 for scoring. Every other seed hangs on the set, too.
[[nodiscard]] std::uint64_t engine_seed(const CaseKey& key);
[[nodiscard]] Dice dice_of(const CaseKey& key);

/// A case with its names, its engine's layouts, and nothing else yet.
[[nodiscard]] Case empty_case(const CaseKey& key, const Engine& engine, const Dice& dice);

[[nodiscard]] Case make_speed_case(const CaseKey& key);
[[nodiscard]] Case make_pair_case(const CaseKey& key);
[[nodiscard]] Case make_job_case(const CaseKey& key);

/// A fault of an engine, kinds drawn evenly (not parts: an engine has many bearings). `only_removable`:
/// something can be taken off that silences it.
[[nodiscard]] Fault draw_fault(const Engine& engine, Dice& dice);

/// Adds the pull, and before it what has to come off first, to what is `off`.
void take_off(const Engine& engine, const std::string& pull, std::vector<std::string>& off);

/// An idle of the engine as it is in that state: loads and drag move it by a few per cent; `off` by which it
/// is warmer.
[[nodiscard]] double idle_in(const Engine& engine, const TrueState& state, double off);

}  // namespace cranknote::simulate
