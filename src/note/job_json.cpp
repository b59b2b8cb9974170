#include "note/job_json.hpp"

#include <cmath>

#include "note/names.hpp"

namespace cranknote {
namespace {

template <class T>
Json list_of(const std::vector<T>& items) {
    Json list = Json::array();
    for (const auto& item : items) list.push_back(to_json(item));
    return list;
}

Json level_json(const std::optional<Decibel>& v) { return v ? json_of(*v) : Json(nullptr); }

double rounded_to(double v, double steps) { return std::round(v * steps) / steps; }

/// In a state a complaint is there or not: louder than as found is still there.
std::string_view state_word(Verdict v) {
    const bool there = v == Verdict::stronger || v == Verdict::fresh;
    return name_of(there ? Verdict::there : v);
}

}  // namespace

std::string_view name_of(StepKind v) {
    switch (v) {
        case StepKind::check:
            return "check";
        case StepKind::pull:
            return "pull";
        case StepKind::refit:
            return "refit";
        case StepKind::look:
            return "look";
        case StepKind::probe:
            return "probe";
        case StepKind::measure:
            return "measure";
        case StepKind::repeat:
            return "repeat";
    }
    return "";
}

std::string_view name_of(RepairOutcome v) {
    switch (v) {
        case RepairOutcome::gone:
            return "gone";
        case RepairOutcome::weaker:
            return "weaker";
        case RepairOutcome::there:
            return "there";
        case RepairOutcome::something_new:
            return "something new";
        case RepairOutcome::cannot_tell:
            return "cannot tell";
    }
    return "";
}

Json to_json(const Step& s) {
    return Json{{"kind", name_of(s.kind)},
                {"name", s.name},
                {"off", s.off},
                {"with", s.with},
                {"near", s.near ? Json(*s.near) : Json(nullptr)},
                {"requires", s.requires_},
                {"minutes", rounded_to(s.minutes, 10.0)},
                {"expected_bits", rounded_to(s.expected_bits, 1e4)},
                {"bits_per_minute", rounded_to(s.bits_per_minute, 1e5)},
                {"cautions", s.cautions}};
}

Json to_json(const ComplaintVerdict& c) {
    Json by_state = Json::array();
    for (const auto& v : c.by_state)
        by_state.push_back(
            Json{{"state", v.state},
                 {"level_db", level_json(v.level)},
                 {"interval_db", Json::array({level_json(v.interval.first), level_json(v.interval.second)})},
                 {"verdict", state_word(v.verdict)}});
    return Json{{"id", c.id},
                {"finding", to_json(c.finding)},
                {"by_state", std::move(by_state)},
                {"suspects", list_of(c.suspects)},
                {"conclusion", name_of(c.conclusion)}};
}

Json to_json(const RepairVerdict& r) {
    return Json{{"state", r.state},
                {"verdict", name_of(r.verdict)},
                {"left_at_most_db", level_json(r.left_at_most)},
                {"conditions_alike", r.conditions_alike},
                {"why", r.why},
                {"new_findings", list_of(r.new_findings)}};
}

Json suspects_json(const std::string& job, const std::vector<State>& states, const JobVerdict& v,
                   const std::vector<std::string>& remarks) {
    Json json;
    json["schema"] = json_schema;
    json["job"] = job;
    json["states"] = list_of(states);
    json["complaints"] = list_of(v.complaints);
    json["guilty"] = list_of(v.guilty);
    json["conclusion"] = name_of(v.conclusion);
    json["repair"] = v.repair ? to_json(*v.repair) : Json(nullptr);
    json["stop"] = Json{{"yes", v.stop.yes}, {"why", v.stop.why}};
    json["next_steps"] = list_of(v.next_steps);
    json["remarks"] = remarks;
    return json;
}

}  // namespace cranknote
