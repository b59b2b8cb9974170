#include "portrait/running_remarks.hpp"

#include <cmath>
#include <string>

namespace cranknote {

namespace {

// Judgement: an idle wanders by 0.5 to 2 % (common practice), a hunting one by up to 5 %. Above this, lines
// that resonances make strong at one speed are weak at another, and comparing at equal ratio misleads.
constexpr double much_spread = 0.07;

/// With one decimal, whatever the locale.
std::string seconds_text(Seconds t) {
    const long tenths = std::lround(t.value() * 10.0);
    return std::to_string(tenths / 10) + "." + std::to_string(tenths % 10) + " s";
}

std::string used_text(const RunningStretch& r) {
    return " Only " + seconds_text(r.used.first) + " to " + seconds_text(r.used.second) + " is used.";
}

std::string cranking_text(const RunningStretch& r) {
    return "Cranking only: the starter turns the engine at about " +
           std::to_string(std::lround(r.cranking_speed.value())) + " rpm (" +
           seconds_text(r.cranking->first) + " to " + seconds_text(r.cranking->second) +
           ") and it does not fire. Record with the engine running.";
}

}  // namespace

std::vector<QualityRemark> running_remarks(const SpeedReading& speed, Seconds duration) {
    std::vector<QualityRemark> out;
    const auto& r = speed.running;
    if (duration < Seconds{1.0}) return out;
    if (r.cranking && (r.no_engine || speed.mean_from == SpeedSource::pickup)) {
        out.push_back({QualityCode::engine_off, Severity::unusable, cranking_text(r), std::nullopt});
        return out;
    }
    if (r.no_engine) {
        if (speed.source == SpeedSource::sound)
            out.push_back({QualityCode::engine_off, Severity::unusable,
                           "No running engine can be heard. Record with the engine running and the "
                           "microphone closer to it.",
                           std::nullopt});
        return out;
    }
    if (!speed.mean) return out;
    if (r.stops)
        out.push_back({QualityCode::stalls, Severity::warn,
                       "The engine goes off at " + seconds_text(*r.stops) + "." + used_text(r),
                       std::nullopt});
    if (r.starts)
        out.push_back({QualityCode::engine_off, Severity::note,
                       "The engine is off until " + seconds_text(*r.starts) + "." + used_text(r),
                       std::nullopt});
    if (r.spread > much_spread)
        out.push_back(
            {QualityCode::unsteady, Severity::warn,
             "The speed moves too much for comparing with another recording. Hold it steady, or use "
             "a steady stretch (--from, --to).",
             std::nullopt});
    return out;
}

}  // namespace cranknote
