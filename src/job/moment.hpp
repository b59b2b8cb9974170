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

/// When something was, as a person says it: a day and a time, or the day alone.
struct When {
    Moment at{};                                     ///< of a day alone: its midnight by this machine's clock
    std::optional<std::chrono::year_month_day> day;  ///< set: only the day was said

    When() = default;
    When(Moment moment) : at(moment) {}  // a moment is one way of saying when
    bool operator==(const When&) const = default;
};

/// As moment_from, but a date alone stays a day: it is the same day in every time zone.
[[nodiscard]] std::optional<When> when_from(std::string_view text);
/// "2026-03-01T09:30:00Z", or "2026-03-01" for a day alone.
[[nodiscard]] std::string to_iso(const When& when);
/// "2026-03-01 10:30", or "2026-03-01" for a day alone.
[[nodiscard]] std::string to_local(const When& when);
/// Was it earlier, as far as that was said? A day alone is neither before nor after a time on it.
[[nodiscard]] bool surely_before(const When& a, const When& b);

/// "2026-03-01 10:30", in this machine's local time, for people.
[[nodiscard]] std::string to_local(Moment m);

}  // namespace cranknote::job
