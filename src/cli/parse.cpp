#include "cli/parse.hpp"

#include <charconv>
#include <cmath>

#include "units/error.hpp"

namespace cranknote::cli {

namespace {

constexpr double slowest_rpm = 60.0, fastest_rpm = 20000.0;

[[noreturn]] void refuse_text(std::string_view option, std::string_view typed, const std::string& trouble,
                              const std::string& advice) {
    throw Error("'" + std::string(typed) + "' " + trouble, std::string(option), advice,
                Error::Kind::wrong_call);
}

}  // namespace

double parse_number(std::string_view typed, std::string_view option) {
    double value = 0.0;
    const auto [end, trouble] = std::from_chars(typed.data(), typed.data() + typed.size(), value);
    if (trouble != std::errc() || end != typed.data() + typed.size() || !std::isfinite(value))
        refuse_text(option, typed, "is not a number", "write it like 820 or 12.5");
    return value;
}

std::optional<SpeedTag> parse_speed_tag(std::string_view typed, std::string_view option) {
    if (typed == "-") return std::nullopt;
    const auto wave = typed.find('~');
    SpeedTag tag;
    tag.rpm = Rpm{parse_number(typed.substr(0, wave), option)};
    if (tag.rpm < Rpm{slowest_rpm} || tag.rpm > Rpm{fastest_rpm})
        refuse_text(option, typed, "is no crank speed of a running engine", "60 to 20000, or - if not known");
    if (wave == std::string_view::npos) return tag;
    tag.plus_minus = Rpm{parse_number(typed.substr(wave + 1), option)};
    if (tag.plus_minus < Rpm{0.1} || tag.plus_minus >= tag.rpm)
        refuse_text(option, typed, "says nothing of how sure it is",
                    "after ~ comes how far it may be off, as in 820~40");
    return tag;
}

std::optional<int> channel_named(std::string_view typed) {
    if (typed == "left") return 0;
    if (typed == "right") return 1;
    return std::nullopt;
}

double parse_pulses(std::string_view typed, std::string_view option) {
    const auto over = typed.find('/');
    double count = parse_number(typed.substr(0, over), option);
    if (over != std::string_view::npos) {
        if (typed.substr(over) != "/2")
            refuse_text(option, typed, "is no number of pulses", "1 a turn, or 1/2: one in two turns");
        count /= 2.0;
    }
    if (count < 0.5 || count > 16.0 || std::abs(2.0 * count - std::round(2.0 * count)) > 1e-9)
        refuse_text(option, typed, "is no number of pulses to a turn", "1/2 to 16, in halves");
    return count;
}

Seconds parse_seconds(std::string_view typed, std::string_view option) {
    const double s = parse_number(typed, option);
    if (s < 0.0) refuse_text(option, typed, "lies before the beginning", "seconds from the file's beginning");
    return Seconds{s};
}

TypedStretch parse_stretch(const std::string& from, const std::string& to) {
    TypedStretch s;
    if (!from.empty()) s.from = parse_seconds(from, "--from");
    if (!to.empty()) s.to = parse_seconds(to, "--to");
    if (s.from.value_or(Seconds{0}) >= s.to.value_or(Seconds{1e12}))
        refuse_text("--to", to, "is not after --from", "seconds from the file's beginning");
    return s;
}

}  // namespace cranknote::cli
