#include "note/units_shown.hpp"

#include <array>
#include <cmath>

#include "figure/utf8.hpp"

namespace cranknote {

namespace {

struct Pair {
    std::string_view metric, us;
    double factor, offset;  // us = metric × factor + offset
    int metric_decimals, us_decimals;
};

constexpr std::array<Pair, 5> pairs{{{"°C", "°F", 1.8, 32.0, 0, 0},
                                     {"mm", "in", 1.0 / 25.4, 0.0, 1, 3},
                                     {"bar", "psi", 14.503774, 0.0, 2, 1},
                                     {"N·m", "lbf·ft", 0.73756215, 0.0, 0, 0},
                                     {"km", "mi", 0.62137119, 0.0, 0, 0}}};

/// As many decimals as say the number as it was typed, three at most.
int decimals_of(double value) {
    for (int d = 0; d < 3; ++d) {
        const double scaled = value * std::pow(10.0, d);
        if (std::abs(scaled - std::round(scaled)) < 1e-6 * std::max(1.0, std::abs(scaled))) return d;
    }
    return 3;
}

std::string_view usual_spelling(std::string_view unit) {
    if (unit == "C" || unit == "degC" || unit == "deg C") return "°C";
    if (unit == "F" || unit == "degF" || unit == "deg F") return "°F";
    if (unit == "Nm" || unit == "N m") return "N·m";
    if (unit == "inch" || unit == "\"") return "in";
    return unit;
}

}  // namespace

Shown shown(double value, std::string_view unit, System system, bool difference) {
    const auto known = usual_spelling(unit);
    for (const auto& p : pairs) {
        const double offset = difference ? 0.0 : p.offset;
        if (system == System::us && known == p.metric)
            return {value * p.factor + offset, std::string(p.us), p.us_decimals};
        if (system == System::metric && known == p.us)
            return {(value - offset) / p.factor, std::string(p.metric), p.metric_decimals};
    }
    return {value, clean_line(known), decimals_of(value)};
}

}  // namespace cranknote
