// What was measured besides sound, as it is typed. Pure.
#pragma once

#include <optional>
#include <span>
#include <string>

#include "desk/view_state.hpp"
#include "job/job.hpp"

namespace cranknote::desk {

/// What is measured beside a running engine, and in which unit.
struct ReadingKind {
    const char* what;
    const char* unit;
};
[[nodiscard]] std::span<const ReadingKind> reading_kinds();

/// A number as a person types it, "4.5" or "4,5". Absent: it is none.
[[nodiscard]] std::optional<double> number_from(std::string typed);

/// Absent: something is missing or no number; `trouble` says what, empty while nothing was typed.
struct ReadingTyped {
    std::optional<job::Reading> reading;
    std::string trouble;
};
[[nodiscard]] ReadingTyped reading_from(const ReadingDraft& draft);

/// "idle speed 815 rpm, on target (820 ± 40)".
[[nodiscard]] std::string reading_sentence(const job::Reading& reading);

}  // namespace cranknote::desk
