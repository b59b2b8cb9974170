#include "layout/diameters.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace cranknote {

namespace {

using enum Running;
constexpr auto outside = DiameterKind::outside;
constexpr auto effective = DiameterKind::effective;

constexpr std::array rules{
    PitchRule{DriveKind::ribbed, wheel, effective, 4.0, 0.4, "ISO 9981: 2 be, be = 2 mm for speed ratios"},
    PitchRule{DriveKind::ribbed, wheel, outside, 4.0, 1.0, "common practice: rim at the effective diameter"},
    PitchRule{DriveKind::ribbed, back_side, outside, 3.5, 1.0,
              "common practice: cord 1.5 to 2 mm from the back"},
    PitchRule{DriveKind::vee, wheel, effective, -2.5, 1.5, "common practice: cord 0.5 to 2 mm under the rim"},
    PitchRule{DriveKind::vee, wheel, outside, -2.5, 2.5,
              "common practice: the same, belt flush with rim or not"},
    PitchRule{DriveKind::vee, back_side, outside, 5.0, 2.0,
              "common practice: cord 1.5 to 3.5 mm from the back"},
    PitchRule{DriveKind::flat, wheel, outside, 2.5, 1.5, "common practice: cord in the middle of 1 to 4 mm"},
    PitchRule{DriveKind::flat, back_side, outside, 2.5, 1.5,
              "common practice: cord in the middle of 1 to 4 mm"},
    PitchRule{DriveKind::toothed, wheel, outside, 1.4, 0.4,
              "memory: ISO 5294, ISO 13050: pitch line over the tips"},
    PitchRule{DriveKind::toothed, back_side, outside, 3.0, 1.0,
              "common practice: cord 1 to 2 mm from the back"},
    PitchRule{DriveKind::toothed, smooth, outside, 6.5, 2.0,
              "memory: ISO 5296, ISO 13050: tooth height, pitch line"},
    PitchRule{DriveKind::chain, wheel, outside, -5.0, 1.5,
              "computed: tip circle of 8 and 9.525 mm chain wheels"},
    PitchRule{DriveKind::silent_chain, wheel, outside, 0.0, 1.5, "common practice: tips near the pitch line"},
    PitchRule{DriveKind::gear, wheel, outside, -4.0, 2.0, "computed: two modules of 1 to 3 mm"}};

/// 95 % limits to one standard error.
constexpr double sigmas = 1.96;

/// The row for a measure. Where a drive has no effective diameter of its own, the outside one is meant; a
/// surface that a drive has no row for (the back of a chain) is taken as its wheel.
const PitchRule& rule_for(DriveKind drive, Running running, DiameterKind measured) {
    auto find = [&](Running r, DiameterKind d) {
        return std::find_if(rules.begin(), rules.end(), [&](const PitchRule& rule) {
            return rule.drive == drive && rule.running == r && rule.measured == d;
        });
    };
    for (const auto& [r, d] : {std::pair{running, measured}, {running, outside}, {wheel, outside}})
        if (const auto it = find(r, d); it != rules.end()) return *it;
    return rules.front();
}

/// Turns a measured diameter with its limit into a pitch diameter.
UncertainLength to_pitch(double across, double limit, const Part& part, DriveKind drive) {
    double add = 0.0, add_limit = 0.0;
    if (part.diameter_kind != DiameterKind::pitch) {
        const auto& rule = rule_for(drive, running_of(part, drive), part.diameter_kind);
        add = rule.add_mm;
        add_limit = rule.limit_mm;
    }
    const double pitch = std::max(1.0, across + add);  // a silly 2 mm vee pulley must not turn negative
    return {Millimetres{pitch}, std::hypot(limit, add_limit) / sigmas / pitch};
}

}  // namespace

std::span<const PitchRule> pitch_rules() { return rules; }

UncertainLength length_between(Millimetres low, Millimetres high) {
    return {Millimetres{std::sqrt(low.value() * high.value())}, std::log(high / low) / (2.0 * sigmas)};
}

Running running_of(const Part& part, DriveKind drive) {
    if (part.back_side) return back_side;
    const bool carried = part.kind == PartKind::idler || part.kind == PartKind::tensioner;
    return drive == DriveKind::toothed && carried && !part.teeth ? smooth : wheel;
}

std::optional<UncertainLength> measured_pitch_diameter(const Part& part, DriveKind drive) {
    const auto* across = std::get_if<Millimetres>(&part.diameter);
    if (!across) return std::nullopt;
    const double of_measure = part.plus_minus ? part.plus_minus->value()
                              : part.by_tape  ? default_around_mm
                                              : default_across_mm;
    return to_pitch(across->value(), part.by_tape ? of_measure / std::numbers::pi : of_measure, part, drive);
}

std::optional<UncertainLength> pitch_diameter(const Part& part, DriveKind drive) {
    if (auto measured = measured_pitch_diameter(part, drive)) return measured;
    const auto usual = usual_diameter(part.kind);
    if (!usual) return std::nullopt;
    Part as_usual = part;
    as_usual.diameter_kind = outside;
    const auto low = to_pitch(usual->first.value(), 0.0, as_usual, drive);
    const auto high = to_pitch(usual->second.value(), 0.0, as_usual, drive);
    return length_between(low.value, high.value);
}

std::optional<std::pair<Millimetres, Millimetres>> usual_diameter(PartKind kind) {
    auto range = [](double low, double high) { return std::pair{Millimetres{low}, Millimetres{high}}; };
    switch (kind) {
        case PartKind::crank_pulley:
        case PartKind::damper:
            return range(130, 190);
        case PartKind::alternator:
            return range(48, 68);
        case PartKind::steering_pump:
            return range(110, 150);
        case PartKind::compressor:
            return range(100, 130);
        case PartKind::water_pump:
        case PartKind::fan:
            return range(90, 150);
        case PartKind::idler:
        case PartKind::tensioner:
            return range(60, 90);
        default:
            return std::nullopt;
    }
}

std::optional<std::pair<Ratio, Ratio>> usual_ratio(PartKind kind) {
    auto range = [](double low, double high) { return std::pair{Ratio{low}, Ratio{high}}; };
    switch (kind) {
        case PartKind::alternator:
            return range(2.0, 3.2);  // 2:1 to 3:1 general, 2.5 to 3.2 on modern cars
        case PartKind::steering_pump:
            return range(1.0, 1.4);
        case PartKind::compressor:
            return range(1.1, 1.5);
        case PartKind::water_pump:
            return range(0.9, 1.6);
        case PartKind::fan:
            return range(0.8, 1.4);
        case PartKind::injection_pump:
            return range(0.5, 1.0);  // in-line and distributor pumps at cam speed, rail pumps faster
        default:
            return std::nullopt;
    }
}

}  // namespace cranknote
