#include "desk/reading_draft.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

#include "figure/number_text.hpp"

namespace cranknote::desk {

namespace {

constexpr ReadingKind kinds[] = {{"idle speed", "rpm"},
                                 {"ignition timing", "\u00b0 before top dead centre"},
                                 {"coolant", "\u00b0C"},
                                 {"throttle sensor at rest", "V"},
                                 {"belt deflection", "mm"}};

/// A field that may be left empty. False: something stands there that is no number.
bool take(const std::string& typed, std::optional<double>& value) {
    if (typed.empty()) return true;
    value = number_from(typed);
    return value.has_value();
}

}  // namespace

std::span<const ReadingKind> reading_kinds() { return kinds; }

std::optional<double> number_from(std::string typed) {
    std::ranges::replace(typed, ',', '.');
    double value = 0.0;
    const auto got = std::from_chars(typed.data(), typed.data() + typed.size(), value);
    if (got.ec != std::errc() || got.ptr != typed.data() + typed.size() || !std::isfinite(value))
        return std::nullopt;
    return value;
}

ReadingTyped reading_from(const ReadingDraft& draft) {
    const auto& kind = kinds[std::min<std::size_t>(draft.kind, std::size(kinds) - 1)];
    std::optional<double> value;
    job::Reading r;
    if (!take(draft.value, value) || !take(draft.target, r.target) || !take(draft.tolerance, r.tolerance))
        return {std::nullopt, "Numbers only, as in 4.5."};
    if (r.tolerance && !r.target) return {std::nullopt, "How far off which target? Type the target too."};
    if (r.tolerance && *r.tolerance < 0.0) return {std::nullopt, "How far it may be off is 0 or more."};
    if (!value) return {};
    r.what = kind.what;
    r.unit = kind.unit;
    r.value = *value;
    if (!draft.recording.empty()) r.recording = draft.recording;
    return {r, ""};
}

std::string reading_sentence(const job::Reading& r) {
    std::string text = r.what + " " + short_number_text(r.value);
    if (r.unit) text += (r.unit->starts_with("\u00b0 ") ? "" : "\u00a0") + *r.unit;
    if (!r.target) return text;
    const auto wanted = short_number_text(*r.target) +
                        (r.tolerance ? " \u00b1 " + short_number_text(*r.tolerance) : std::string());
    const auto good = job::on_target(r);
    return text + (!good ? ", target (" : *good ? ", on target (" : ", off target (") + wanted + ")";
}

}  // namespace cranknote::desk
