#include "cli/recording_text.hpp"

#include <vector>

#include "cli/values.hpp"
#include "figure/number_text.hpp"

namespace cranknote::cli {
namespace {

std::string coolant_text(const job::Coolant& c) {
    if (const auto* felt = std::get_if<job::Warmth>(&c)) return *felt == job::Warmth::cold ? "cold" : "warm";
    return short_number_text(std::get<job::Celsius>(c).value()) + "\u00a0°C";
}

std::string stretch_text(const job::Recording& r) {
    if (!r.from && !r.to) return "";
    const std::string from =
        r.from ? "from " + short_number_text(r.from->value()) + "\u00a0s" : "from the beginning";
    return from + (r.to ? " to " + short_number_text(r.to->value()) + "\u00a0s" : " to the end");
}

void add_if(std::vector<std::string>& parts, const std::string& before,
            const std::optional<std::string>& text) {
    if (text) parts.push_back(before + *text);
}

}  // namespace

std::string conditions_text(const job::Recording& r) {
    std::vector<std::string> parts;
    if (const auto stretch = stretch_text(r); !stretch.empty()) parts.push_back(stretch);
    if (r.rpm)
        parts.push_back("crank speed entered " + short_number_text(r.rpm->rpm.value()) + "\u00a0±\u00a0" +
                        short_number_text(r.rpm->plus_minus.value()) + "\u00a0rpm");
    if (r.coolant) parts.push_back("coolant " + coolant_text(*r.coolant));
    if (r.since_start) parts.push_back(short_number_text(r.since_start->value()) + "\u00a0s after the start");
    add_if(parts, "placement ", r.placement);
    add_if(parts, "microphone near ", r.near);
    if (!r.loads.empty()) parts.push_back("loads: " + listed(r.loads));
    add_if(parts, "weather: ", r.weather);
    add_if(parts, "note: ", r.notes);
    if (r.at) parts.push_back("recorded " + job::to_local(*r.at));
    return listed(parts, "");
}

std::string reading_text(const job::Reading& r) {
    const auto with_unit = [&](double value) {
        return short_number_text(value) + (r.unit ? " " + *r.unit : "");
    };
    std::string text = r.what + ": " + with_unit(r.value);
    if (r.target) text += ", target " + short_number_text(*r.target);
    if (r.target && r.tolerance) text += "\u00a0±\u00a0" + short_number_text(*r.tolerance);
    if (const auto on = job::on_target(r)) text += *on ? ": on target" : ": off target";
    if (r.recording) text += " (" + *r.recording + ")";
    return text;
}

std::string complaint_text(const job::Complaint& c) {
    std::vector<std::string> parts;
    if (c.finding) parts.push_back("finding " + *c.finding);
    if (c.ratio) parts.push_back(ratio_text(*c.ratio));
    if (c.beat_ratio) parts.push_back("swelling at " + ratio_text(*c.beat_ratio));
    if (c.hz) parts.push_back(hertz_text(*c.hz));
    if (c.comes) parts.emplace_back(*c.comes == job::Comes::always ? "always" : "sometimes");
    parts.insert(parts.end(), c.when.begin(), c.when.end());
    return listed(parts, "not said where");
}

}  // namespace cranknote::cli
