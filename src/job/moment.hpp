// A moment in a job's story: when a recording was made, when something was seen.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace cranknote::job {

using Moment = std::chrono::sys_seconds;

/// Now, by the machine's clock, to the second.
[[nodiscard]] Moment now();

/// "2026-03-01T09:30:00Z": UTC, ISO 8601. This is how files hold it.
[[nodiscard]] std::string to_iso(Moment m);

/// Reads ISO 8601: date and time (T or a space between), seconds optional, with Z or an offset (+02:00);
/// without one it is this machine's local time. A date alone is its midnight. Absent if it is none of these
/// or no such day or time exists.
[[nodiscard]] std::optional<Moment> moment_from(std::string_view text);

/// "2026-03-01 10:30", in this machine's local time, for people.
[[nodiscard]] std::string to_local(Moment m);

}  // namespace cranknote::job
