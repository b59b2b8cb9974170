#include "note/numbers.hpp"

#include <cmath>

#include "figure/utf8.hpp"
#include "note/names.hpp"

namespace cranknote {

namespace {

template <class T>
Json of(const std::optional<T>& v) {
    return v ? json_of(*v) : Json(nullptr);
}

template <class T>
Json list_of(const std::vector<T>& items) {
    Json list = Json::array();
    for (const auto& item : items) list.push_back(to_json(item));
    return list;
}

Json text_or_null(const std::optional<std::string>& text) { return text ? Json(*text) : Json(nullptr); }

std::string_view name_of_outcome(RepairOutcome v) {
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

std::string_view name_of_step(StepKind v) {
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

/// A complaint is there, weaker or gone, or it cannot be told; stronger and new mean that it is there.
std::string_view state_verdict(Verdict v) {
    return v == Verdict::stronger || v == Verdict::fresh ? name_of(Verdict::there) : name_of(v);
}

class Csv {
  public:
    Csv() { row({"section", "name", "field", "value", "low", "high", "unit"}); }

    void numbers(const std::string& section, const std::string& name, const std::string& field,
                 const Json& value, const Json& low, const Json& high, const std::string& unit) {
        row({csv_text(section), csv_text(name), csv_text(field), digits(value), digits(low), digits(high),
             csv_text(unit)});
    }
    void words(const std::string& section, const std::string& name, const std::string& field,
               const std::string& value) {
        row({csv_text(section), csv_text(name), csv_text(field), csv_text(value), "", "", ""});
    }
    [[nodiscard]] std::string take() { return std::move(out_); }

  private:
    /// A number by the JSON's own digits; nothing for null.
    static std::string digits(const Json& v) { return v.is_null() ? "" : v.dump(); }
    void row(const std::vector<std::string>& fields) {
        for (std::size_t i = 0; i < fields.size(); ++i) out_ += (i ? "," : "") + fields[i];
        out_ += "\r\n";
    }
    std::string out_ = "\xEF\xBB\xBF";
};

void add_findings(Csv& csv, const std::vector<Finding>& findings) {
    for (const auto& f : findings) {
        const auto j = to_json(f);
        const auto& interval = j["interval_db"];
        csv.numbers("finding", f.id, "change", j["change_db"], interval[0], interval[1], "dB");
        csv.numbers("finding", f.id, "band", nullptr, j["low_hz"], j["high_hz"], "Hz");
        csv.numbers("finding", f.id, "ratio", j["ratio"], nullptr, nullptr, "per crank turn");
        csv.numbers("finding", f.id, "beat ratio", j["beat_ratio"], nullptr, nullptr, "per crank turn");
        csv.words("finding", f.id, "verdict", std::string(name_of(f.verdict)));
    }
}

}  // namespace

std::string csv_text(std::string_view text) {
    auto clean = clean_text(text);
    if (!clean.empty() && std::string_view("=+-@\t").find(clean.front()) != std::string_view::npos)
        clean.insert(0, "'");
    if (clean.find_first_of(",\"\n\r'") == std::string::npos) return clean;
    std::string out = "\"";
    for (const char c : clean) out += c == '"' ? std::string("\"\"") : std::string(1, c);
    return out + "\"";
}

std::string csv_of(const NoteData& d) {
    Csv csv;
    for (const auto& s : d.states)
        for (const auto& r : s.recordings) {
            const auto speed = to_json(r.speed);
            csv.numbers("state", s.state.name, r.file, speed["rpm"], speed["interval"][0],
                        speed["interval"][1], "rpm");
        }
    if (d.comparison) add_findings(csv, d.comparison->findings);
    for (const auto& c : d.complaints)
        for (const auto& v : c.by_state) {
            const auto j = to_json(v);
            const auto name = "complaint " + std::to_string(c.id);
            csv.numbers(name, v.state, "level", j["level_db"], j["interval_db"][0], j["interval_db"][1],
                        "dB re full scale");
            csv.words(name, v.state, "verdict", std::string(state_verdict(v.verdict)));
        }
    for (const auto& s : d.guilty)
        csv.numbers("suspect", s.cause, "probability", probability_json(s.probability), nullptr, nullptr, "");
    for (const auto& r : d.readings) {
        const auto low = r.target && r.tolerance ? Json(*r.target - *r.tolerance) : Json(nullptr);
        const auto high = r.target && r.tolerance ? Json(*r.target + *r.tolerance) : Json(nullptr);
        csv.numbers("reading", r.what, r.when.empty() ? "value" : r.when,
                    r.value ? Json(*r.value) : Json(nullptr), low, high, r.unit);
    }
    for (const auto& s : d.sources) csv.words("source", s.file, "SHA-256", s.sha256);
    return csv.take();
}

Json to_json(const StateVerdict& v) {
    return Json{{"state", v.state},
                {"level_db", of(v.level)},
                {"interval_db", Json::array({of(v.interval.first), of(v.interval.second)})},
                {"verdict", state_verdict(v.verdict)}};
}

Json to_json(const ComplaintVerdict& c) {
    return Json{{"id", c.id},
                {"finding", to_json(c.finding)},
                {"by_state", list_of(c.by_state)},
                {"suspects", list_of(c.suspects)},
                {"conclusion", name_of(c.conclusion)}};
}

Json to_json(const RepairVerdict& r) {
    return Json{{"state", r.state},
                {"verdict", name_of_outcome(r.verdict)},
                {"left_at_most_db", of(r.left_at_most)},
                {"conditions_alike", r.conditions_alike},
                {"why", r.why},
                {"new_findings", list_of(r.new_findings)}};
}

Json to_json(const Step& s) {
    const auto tidy = [](double v, double per_one) {
        return std::isfinite(v) ? Json(std::round(v * per_one) / per_one + 0.0) : Json(0.0);
    };
    return Json{{"kind", name_of_step(s.kind)},
                {"name", s.name},
                {"off", s.off},
                {"with", s.with},
                {"near", text_or_null(s.near)},
                {"requires", s.requires_},
                {"minutes", tidy(s.minutes, 10.0)},
                {"expected_bits", tidy(s.expected_bits, 1e4)},
                {"bits_per_minute", tidy(s.bits_per_minute, 1e5)},
                {"cautions", s.cautions}};
}

Json suspects_json(const std::string& job, const std::vector<State>& states, const JobVerdict& verdict) {
    Json json;
    json["schema"] = json_schema;
    json["job"] = job;
    json["states"] = list_of(states);
    json["complaints"] = list_of(verdict.complaints);
    json["guilty"] = list_of(verdict.guilty);
    json["conclusion"] = name_of(verdict.conclusion);
    json["repair"] = verdict.repair ? to_json(*verdict.repair) : Json(nullptr);
    json["stop"] = Json{{"yes", verdict.stop.yes}, {"why", verdict.stop.why}};
    json["next_steps"] = list_of(verdict.next_steps);
    return json;
}

Json note_json(const NoteData& d) {
    Json json;
    json["schema"] = json_schema;
    json["title"] = d.title;
    json["states"] = Json::array();
    for (const auto& s : d.states) {
        auto state = to_json(s.state);
        state["recordings"] = list_of(s.recordings);
        json["states"].push_back(std::move(state));
    }
    json["comparison"] = d.comparison ? to_json(*d.comparison, d.guilty, d.conclusion) : Json(nullptr);
    json["complaints"] = list_of(d.complaints);
    json["guilty"] = list_of(d.guilty);
    json["conclusion"] = name_of(d.conclusion);
    json["repair"] = d.repair ? to_json(*d.repair) : Json(nullptr);
    json["readings"] = Json::array();
    for (const auto& r : d.readings) {
        const auto number = [](const std::optional<double>& v) {
            return v && std::isfinite(*v) ? Json(*v) : Json(nullptr);
        };
        json["readings"].push_back(Json{{"what", r.what},
                                        {"value", number(r.value)},
                                        {"unit", r.unit},
                                        {"target", number(r.target)},
                                        {"tolerance", number(r.tolerance)},
                                        {"when", r.when}});
    }
    json["sources"] = Json::array();
    for (const auto& s : d.sources) json["sources"].push_back(Json{{"file", s.file}, {"sha256", s.sha256}});
    return json;
}

}  // namespace cranknote
