#include "note/numbers.hpp"

#include <cmath>

#include "figure/utf8.hpp"
#include "note/job_json.hpp"
#include "note/names.hpp"

namespace cranknote {

namespace {

template <class T>
Json list_of(const std::vector<T>& items) {
    Json list = Json::array();
    for (const auto& item : items) list.push_back(to_json(item));
    return list;
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

/// `section`: which comparison they are of.
void add_findings(Csv& csv, const std::string& section, const std::vector<Finding>& findings) {
    for (const auto& f : findings) {
        const auto j = to_json(f);
        const auto& interval = j["interval_db"];
        csv.numbers(section, f.id, "change", j["change_db"], interval[0], interval[1], "dB");
        csv.numbers(section, f.id, "band", nullptr, j["low_hz"], j["high_hz"], "Hz");
        csv.numbers(section, f.id, "ratio", j["ratio"], nullptr, nullptr, "per crank turn");
        csv.numbers(section, f.id, "beat ratio", j["beat_ratio"], nullptr, nullptr, "per crank turn");
        csv.words(section, f.id, "verdict", std::string(name_of(f.verdict)));
    }
}

void add_levels(Csv& csv, const ComplaintVerdict& c) {
    const auto name = "complaint " + std::to_string(c.id);
    const auto json = to_json(c);
    for (const auto& state : json["by_state"]) {
        const auto which = state["state"].get<std::string>();
        const auto& interval = state["interval_db"];
        csv.numbers(name, which, "level", state["level_db"], interval[0], interval[1], "dB re full scale");
        csv.words(name, which, "verdict", state["verdict"].get<std::string>());
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
    if (d.comparison) add_findings(csv, "finding", d.comparison->findings);
    if (d.repair_comparison) add_findings(csv, "finding after the repair", d.repair_comparison->findings);
    if (d.repair)
        csv.numbers("repair", d.repair->state, "left at most", to_json(*d.repair)["left_at_most_db"], nullptr,
                    nullptr, "dB");
    for (const auto& c : d.complaints) add_levels(csv, c);
    for (const auto& s : d.guilty)
        csv.numbers("suspect", s.cause, "probability", probability_json(s.probability), nullptr, nullptr, "");
    for (const auto& r : d.readings) {
        const auto low = r.target && r.tolerance ? Json(*r.target - *r.tolerance) : Json(nullptr);
        const auto high = r.target && r.tolerance ? Json(*r.target + *r.tolerance) : Json(nullptr);
        csv.numbers("reading", r.what, r.when.empty() ? "value" : r.when,
                    r.value ? Json(*r.value) : Json(nullptr), low, high, r.unit);
    }
    for (const auto& text : d.done) csv.words("done", "", "", text);
    for (const auto& s : d.sources) csv.words("source", s.file, "SHA-256", s.sha256);
    return csv.take();
}

Json note_json(const NoteData& d) {
    Json json;
    json["schema"] = json_schema;
    json["title"] = d.title;
    json["facts"] = Json::array();
    for (const auto& [label, value] : d.facts)
        json["facts"].push_back(Json{{"label", label}, {"value", value}});
    json["complaint"] = d.complaint.empty() ? Json(nullptr) : Json(d.complaint);
    json["conditions"] = d.conditions.empty() ? Json(nullptr) : Json(d.conditions);
    json["worked_on"] = d.worked_on;
    json["done"] = d.done;
    json["states"] = Json::array();
    for (const auto& s : d.states) {
        auto state = to_json(s.state);
        state["recordings"] = list_of(s.recordings);
        json["states"].push_back(std::move(state));
    }
    json["comparison"] = d.comparison ? to_json(*d.comparison, d.guilty, d.conclusion) : Json(nullptr);
    json["repair_comparison"] =
        d.repair_comparison ? to_json(*d.repair_comparison, d.guilty, d.conclusion) : Json(nullptr);
    json["complaints"] = list_of(d.complaints);
    json["guilty"] = list_of(d.guilty);
    json["conclusion"] = name_of(d.conclusion);
    json["repair"] = d.repair ? to_json(*d.repair) : Json(nullptr);
    json["stop"] = Json{{"yes", d.stop.yes}, {"why", d.stop.why}};
    json["next_steps"] = list_of(d.next_steps);
    json["saw"] = Json::array();
    for (const auto& s : d.saw)
        json["saw"].push_back(Json{{"on", s.on}, {"text", s.text}, {"for", s.speaks_for}});
    json["not_known"] = d.not_known;
    json["cautions"] = d.cautions;
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
