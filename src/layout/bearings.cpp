#include "layout/bearings.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <numbers>

namespace cranknote {

namespace {

constexpr BearingGeometry deep_groove(int balls, double ball, double pitch_circle) {
    return {balls, Millimetres{ball}, Millimetres{pitch_circle}, Degrees{0.0}};
}

constexpr std::string_view published = "published with a university's bearing recordings";
// Ball counts and diameters of other makers may differ by one ball; the tests only check that the rings'
// dimensions (ISO 15) hold them.
constexpr std::string_view recalled = "memory: bearing catalogues";

constexpr std::array table{NumberedBearing{6000, deep_groove(7, 4.763, 18.0), recalled},
                           NumberedBearing{6001, deep_groove(8, 4.763, 20.0), recalled},
                           NumberedBearing{6002, deep_groove(9, 4.763, 23.5), recalled},
                           NumberedBearing{6003, deep_groove(10, 4.763, 26.0), recalled},
                           NumberedBearing{6004, deep_groove(9, 6.35, 31.0), recalled},
                           NumberedBearing{6005, deep_groove(10, 6.35, 36.0), recalled},
                           NumberedBearing{6006, deep_groove(11, 7.144, 42.5), recalled},
                           NumberedBearing{6201, deep_groove(7, 5.953, 22.0), recalled},
                           NumberedBearing{6202, deep_groove(8, 5.953, 25.0), recalled},
                           NumberedBearing{6203, deep_groove(8, 6.74624, 28.4988), published},
                           NumberedBearing{6204, deep_groove(8, 7.938, 33.5), recalled},
                           NumberedBearing{6205, deep_groove(9, 7.94004, 39.0398), published},
                           NumberedBearing{6206, deep_groove(9, 9.525, 46.0), recalled},
                           NumberedBearing{6207, deep_groove(9, 11.112, 53.5), recalled},
                           NumberedBearing{6300, deep_groove(7, 6.35, 22.5), recalled},
                           NumberedBearing{6301, deep_groove(6, 7.938, 24.5), recalled},
                           NumberedBearing{6302, deep_groove(7, 7.938, 28.5), recalled},
                           NumberedBearing{6303, deep_groove(7, 8.731, 32.0), recalled},
                           NumberedBearing{6304, deep_groove(7, 9.525, 36.0), recalled},
                           NumberedBearing{6305, deep_groove(7, 11.509, 43.5), recalled},
                           NumberedBearing{6306, deep_groove(8, 12.303, 51.0), recalled}};

}  // namespace

BearingRatios bearing_ratios(const BearingGeometry& g, TurningRing turning) {
    const double size = g.ball / g.pitch_circle * std::cos(g.contact.value() * std::numbers::pi / 180.0);
    BearingRatios r;
    r.outer = g.balls / 2.0 * (1.0 - size);
    r.inner = g.balls / 2.0 * (1.0 + size);
    r.cage = turning == TurningRing::inner ? (1.0 - size) / 2.0 : (1.0 + size) / 2.0;
    r.ball = g.pitch_circle / g.ball * (1.0 - size * size);
    return r;
}

std::span<const NumberedBearing> numbered_bearings() { return table; }

std::optional<BearingGeometry> bearing_by_number(std::string_view printed) {
    while (!printed.empty() && printed.front() == ' ') printed.remove_prefix(1);
    int number = 0;
    const auto [end, failed] = std::from_chars(printed.data(), printed.data() + printed.size(), number);
    if (failed != std::errc{}) return std::nullopt;
    for (const auto& row : table)
        if (row.number == number) return row.geometry;
    return std::nullopt;
}

}  // namespace cranknote
