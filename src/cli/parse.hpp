// What people type on the command line, as values. Each throws Error (wrong call) that names the option.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "speed/speed.hpp"
#include "units/units.hpp"

namespace cranknote::cli {

/// "820" (± 40, a dash gauge), "820~2" (± 2), "-" (not known). 60 to 20000 rpm, ± at least 0.1 and below the
/// speed itself.
[[nodiscard]] std::optional<SpeedTag> parse_speed_tag(std::string_view typed,
                                                      std::string_view option = "--rpm");

/// Pulses of a pickup to a crank turn: "1" or "2" a turn, "1/2" one in two turns, "3/2". Half a pulse to 16.
[[nodiscard]] double parse_pulses(std::string_view typed, std::string_view option = "--pulses");

/// "left" or "right": channel 0 or 1. Absent: another word.
[[nodiscard]] std::optional<int> channel_named(std::string_view typed);

/// A plain number, point as decimal sign in every locale, nothing around it.
[[nodiscard]] double parse_number(std::string_view typed, std::string_view option);

/// Seconds into a file: 0 or more.
[[nodiscard]] Seconds parse_seconds(std::string_view typed, std::string_view option);

/// --from and --to, either may be absent (empty text).
struct TypedStretch {
    std::optional<Seconds> from, to;
};
[[nodiscard]] TypedStretch parse_stretch(const std::string& from, const std::string& to);

}  // namespace cranknote::cli
