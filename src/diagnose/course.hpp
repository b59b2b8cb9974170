// What stands still in a state, and how a cause's sound goes from one state to another.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "diagnose/causes.hpp"
#include "diagnose/likelihoods.hpp"

namespace cranknote {

/// A state set against the layout. Throws what expand_off throws for an unknown name.
struct Setting {
    std::set<std::string> still;     ///< parts and drives that stand still
    std::set<std::string> off;       ///< covers, parts and drives that are off
    std::set<std::string> with;      ///< checks
    std::set<std::string> repaired;  ///< what was set right so far; "" for what was not named
    bool cold = false;
    bool operator==(const Setting&) const = default;
};
[[nodiscard]] Setting setting_of(const Layout& layout, const State& state);
/// The states of a job in order of time: what was set right in one stays so in the next.
[[nodiscard]] std::vector<Setting> settings_of(const Layout& layout, const std::vector<State>& states);

/// Whether the cause can sound in this setting.
[[nodiscard]] bool can_sound(const Cause& cause, const Setting& setting);

/// How strongly a cause has to do with a name (part, drive, cover, pull, engine name): 1 it is the thing
/// itself, about a half what hangs on the same drive, 0 nothing.
[[nodiscard]] double concerns(const Layout& layout, const Cause& cause, const std::string& name);

/// Probabilities of the five verdicts (there, weaker, gone, stronger, new) in `now`, judged against
/// `reference`, if this cause makes the sound. They sum to 1.
/// presence: share of time it was there in the reference. touched: it was taken off and put back between.
[[nodiscard]] Course course_of(const Layout& layout, const Cause& cause, const Setting& reference,
                               const Setting& now, double presence, bool touched, const Likelihoods& l);

/// The things that are off in one setting only, pulls by what they hold: "alternator belt"; empty: none.
[[nodiscard]] std::string what_is_off(const Setting& here, const Setting& not_here);
/// "with the alternator belt off", "with lock", "after the repair": how `to` differs from `from`.
[[nodiscard]] std::string step_text(const Setting& from, const Setting& to);

/// The place of a verdict in a Course; absent for cannot_tell.
[[nodiscard]] std::optional<std::size_t> place_of(Verdict verdict);

}  // namespace cranknote
