#include <algorithm>
#include <set>

#include "simulate/cases.hpp"
#include "simulate/mechanic.hpp"

namespace cranknote::simulate {

std::uint64_t engine_seed(const CaseKey& key) {
    Dice dice = dice_of(key).fork("which engine");
    const std::uint64_t first = key.set == Set::tune ? 1 : 100001;
    return first + static_cast<std::uint64_t>(dice.pick(500));
}

Dice dice_of(const CaseKey& key) {
    const std::uint64_t set = key.set == Set::tune ? 0x7u : 0x5C0E0000u;
    return Dice(set).fork(name_of(key.purpose), static_cast<std::uint64_t>(key.index) + 1);
}

Case empty_case(const CaseKey& key, const Engine& engine, const Dice& dice) {
    Case c;
    c.set = key.set;
    c.purpose = key.purpose;
    c.index = key.index;
    char number[16];
    std::snprintf(number, sizeof number, "%04d", key.index);
    c.id = name_of(key.set) + "-" + name_of(key.purpose) + "-" + number;
    c.cylinders = engine.cylinders;
    c.layout_toml = mechanics_layout(engine, Habits{}, dice.fork("layout"));
    c.half_unknown_layout_toml = mechanics_layout(engine, careless(), dice.fork("layout"));
    return c;
}

Fault draw_fault(const Engine& engine, Dice& dice) {
    const auto all = possible_faults(engine);
    std::vector<std::string> kinds;
    for (const auto& f : all)
        if (std::find(kinds.begin(), kinds.end(), f.cause.kind) == kinds.end()) kinds.push_back(f.cause.kind);
    const auto kind = kinds[static_cast<std::size_t>(dice.pick(static_cast<int>(kinds.size())))];
    std::vector<Fault> of_kind;
    for (const auto& f : all)
        if (f.cause.kind == kind) of_kind.push_back(f);
    Fault f = of_kind[static_cast<std::size_t>(dice.pick(static_cast<int>(of_kind.size())))];
    f.seed = dice.next();
    if (f.cause.kind == "slip") f.extra_creep = dice.uniform(0.005, 0.03);
    if (dice.chance(f.cause.kind == "slip" ? 0.5 : 0.2)) f.presence = dice.uniform(0.3, 0.95);
    return f;
}

void take_off(const Engine& engine, const std::string& pull, std::vector<std::string>& off) {
    if (std::find(off.begin(), off.end(), pull) != off.end()) return;
    if (const auto* p = engine.pull(pull))
        for (const auto& first : p->requires_) take_off(engine, first, off);
    off.push_back(pull);
}

double idle_in(const Engine& engine, const TrueState& state, double off) {
    const double load = load_of(circumstances(engine, state));
    return engine.idle_rpm * (1.0 + off) * (1.0 - 0.06 * (load - 1.0));
}

}  // namespace cranknote::simulate
