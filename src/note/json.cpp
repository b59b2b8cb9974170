#include "note/json.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "note/names.hpp"

namespace cranknote {

namespace {

/// Rounded to `per_one` steps per unit; null when not finite. Adding 0.0 turns -0 into 0.
Json rounded(double value, double per_one) {
    if (!std::isfinite(value)) return nullptr;
    return std::round(value * per_one) / per_one + 0.0;
}

/// Three significant digits: false-discovery rates and tolerances span decades.
Json significant(double value) {
    if (!std::isfinite(value)) return nullptr;
    if (value == 0.0) return 0.0;
    const double scale = std::pow(10.0, 2.0 - std::floor(std::log10(std::abs(value))));
    return std::isfinite(scale) && scale > 0 ? Json(std::round(value * scale) / scale) : Json(0.0);
}

template <class T>
Json json_of(const std::optional<T>& v) {
    return v ? json_of(*v) : Json(nullptr);
}

template <class T>
Json pair_json(const std::pair<T, T>& p) {
    return Json::array({json_of(p.first), json_of(p.second)});
}

template <class T>
Json list_json(const std::vector<T>& items) {
    Json list = Json::array();
    for (const auto& item : items) list.push_back(to_json(item));
    return list;
}

Json track_json(const SpeedTrack& track) {
    Json list = Json::array();
    for (std::size_t i = 0; i < std::min(track.at.size(), track.rpm.size()); ++i)
        list.push_back(Json::array({json_of(track.at[i]), json_of(track.rpm[i])}));
    return list;
}

Json interval_json(std::pair<double, double> i, double per_one) {
    return Json::array({rounded(i.first, per_one), rounded(i.second, per_one)});
}

Json hunting_json(const Hunting& h, Rpm mean) {
    return Json{{"period_s", rounded(h.period.value(), 100.0)},
                {"interval_s", interval_json({h.interval.first.value(), h.interval.second.value()}, 100.0)},
                {"swing_rpm", json_of(mean * h.swing)}};
}

Json steadiness_json(const SpeedReading& r) {
    if (!r.steadiness || !r.mean) return nullptr;
    const auto& s = *r.steadiness;
    return Json{
        {"spread_rpm", json_of(*r.mean * s.spread)},
        {"interval_rpm", pair_json(std::pair{*r.mean * s.interval.first, *r.mean * s.interval.second})},
        {"hunting", s.hunting ? hunting_json(*s.hunting, *r.mean) : Json(nullptr)},
        {"text", s.text}};
}

Json evenness_json(const std::optional<Evenness>& e) {
    if (!e) return nullptr;
    Json cylinders = Json::array();
    for (std::size_t i = 0; i < e->cylinders.size(); ++i)
        cylinders.push_back(Json{{"place", i + 1},
                                 {"cylinder", i < e->numbers.size() ? Json(e->numbers[i]) : Json(nullptr)},
                                 {"level_db", rounded(e->cylinders[i].level.value(), 100.0)},
                                 {"plus_minus_db", rounded(e->cylinders[i].plus_minus.value(), 100.0)}});
    return Json{{"unlike", e->unlike ? rounded(*e->unlike, 1e3) : Json(nullptr)},
                {"interval", e->unlike ? interval_json(e->interval, 1e3) : Json::array({nullptr, nullptr})},
                {"source", name_of(e->from)},
                {"cylinders", std::move(cylinders)},
                {"text", e->text}};
}

Json cranking_json(const RunningStretch& r) {
    if (!r.cranking) return nullptr;
    return Json{{"from_s", json_of(r.cranking->first)},
                {"to_s", json_of(r.cranking->second)},
                {"rpm", json_of(r.cranking_speed)}};
}

Json whole_or_null(const std::optional<int>& n) { return n ? Json(*n) : Json(nullptr); }

Json tag_json(const std::optional<SpeedTag>& tag) {
    if (!tag) return nullptr;
    return Json{{"rpm", json_of(tag->rpm)}, {"plus_minus", json_of(tag->plus_minus)}};
}

}  // namespace

Json json_of(Decibel v) { return rounded(v.value(), 10.0); }
Json json_of(Rpm v) { return rounded(v.value(), 10.0); }
Json json_of(Hertz v) { return rounded(v.value(), 100.0); }
Json json_of(Ratio v) { return rounded(v.value(), 1e4); }
Json json_of(Seconds v) { return rounded(v.value(), 1e3); }
Json probability_json(double v) { return rounded(v, 1e4); }

Json to_json(const SpeedReading& speed) {
    const bool known = speed.mean.has_value();
    Json json;
    json["rpm"] = json_of(speed.mean);
    json["interval"] = known ? pair_json(speed.interval) : Json::array({nullptr, nullptr});
    json["low"] = known ? json_of(speed.low) : Json(nullptr);
    json["high"] = known ? json_of(speed.high) : Json(nullptr);
    json["confidence"] = probability_json(speed.confidence);
    json["source"] = name_of(speed.source);
    json["mean_from"] = known ? Json(name_of(speed.mean_from)) : Json(nullptr);
    json["tag"] = tag_json(speed.tag);
    json["cylinders"] = whole_or_null(speed.cylinders);
    json["cylinders_said"] = speed.cylinders_said;
    json["alternatives"] = Json::array();
    for (const auto& other : speed.alternatives)
        json["alternatives"].push_back(Json{{"rpm", json_of(other.rpm)},
                                            {"confidence", probability_json(other.confidence)},
                                            {"cylinders", whole_or_null(other.cylinders)}});
    json["track"] = track_json(speed.track);
    json["steadiness"] = steadiness_json(speed);
    json["evenness"] = evenness_json(speed.evenness);
    json["cranking"] = cranking_json(speed.running);
    json["remarks"] = speed.remarks;
    return json;
}

Json to_json(const QualityRemark& remark) {
    return Json{{"code", name_of(remark.code)},
                {"severity", name_of(remark.severity)},
                {"text", remark.text},
                {"hz", json_of(remark.hz)}};
}

Json to_json(const RecordingSummary& recording) {
    return Json{{"schema", json_schema},
                {"file", recording.file},
                {"duration_s", json_of(recording.duration)},
                {"used_s", pair_json(recording.used)},
                {"sample_rate_hz", rounded(recording.rate.value(), 100.0)},
                {"speed", to_json(recording.speed)},
                {"quality", list_json(recording.quality)}};
}

Json to_json(const Explanation& e) {
    return Json{{"cause", e.cause},
                {"part", e.part},
                {"line", e.line},
                {"expected_ratio", json_of(e.expected_ratio)},
                {"tolerance", significant(e.tolerance)},
                {"fit", probability_json(e.fit)}};
}

Json to_json(const Finding& f) {
    Json json;
    json["id"] = f.id;
    json["axis"] = name_of(f.axis);
    json["low_hz"] = json_of(f.low);
    json["high_hz"] = json_of(f.high);
    json["ratio"] = json_of(f.ratio);
    json["beat_ratio"] = json_of(f.beat_ratio);
    json["a_db"] = json_of(f.a);
    json["b_db"] = json_of(f.b);
    json["change_db"] = json_of(f.change);
    json["interval_db"] = Json::array({json_of(f.interval.first), json_of(f.interval.second)});
    json["q"] = significant(f.q);
    json["flagged"] = f.flagged;
    json["verdict"] = name_of(f.verdict);
    json["expected"] = f.expected ? Json(*f.expected) : Json(nullptr);
    json["presence"] = Json::array({rounded(f.presence[0], 1e3), rounded(f.presence[1], 1e3)});
    json["character"] = name_of(f.character);
    json["follows"] = name_of(f.follows);
    json["beat_follows"] = name_of(f.beat_follows);
    json["prominence_db"] = rounded(f.prominence, 10.0);
    json["explained_by"] = list_json(f.explained_by);
    return json;
}

Json to_json(const Suspect& s) {
    return Json{{"cause", s.cause},
                {"part", s.part ? Json(*s.part) : Json(nullptr)},
                {"also", s.also},
                {"kind", name_of(s.kind)},
                {"probability", probability_json(s.probability)},
                {"tied_with", s.tied_with},
                {"for", s.evidence_for},
                {"against", s.evidence_against}};
}

Json to_json(const State& s) {
    return Json{
        {"name", s.name}, {"off", s.off}, {"still", s.still}, {"with", s.with}, {"repaired", s.repaired}};
}

Json to_json(const Comparison& c, const std::vector<Suspect>& suspects, Conclusion conclusion) {
    const auto& within = c.comparable;
    Json json;
    json["schema"] = json_schema;
    json["a"] = list_json(c.a);
    json["b"] = list_json(c.b);
    json["comparable"] = Json{{"hz", within.hz ? pair_json(*within.hz) : Json(nullptr)},
                              {"ratio", within.ratio ? pair_json(*within.ratio) : Json(nullptr)},
                              {"why", within.why}};
    json["level_offset_db"] = json_of(c.level_offset);
    json["spread"] = Json{{"source", c.spread.measured ? "measured" : "default"},
                          {"db", json_of(c.spread.db)},
                          {"least_octave_db", json_of(c.spread.least_octave)}};
    json["findings"] = list_json(c.findings);
    json["suspects"] = list_json(suspects);
    json["conclusion"] = name_of(conclusion);
    json["remarks"] = c.remarks;
    return json;
}

Json portrait_finding_json(const Finding& finding) {
    Json json = to_json(finding);
    for (const auto* key : {"b_db", "change_db", "interval_db"}) json.erase(key);
    json["presence"][1] = json["presence"][0];
    return json;
}

Json portrait_json(const RecordingSummary& recording, const std::vector<Finding>& findings) {
    Json json = to_json(recording);
    json["findings"] = Json::array();
    for (const auto& finding : findings) json["findings"].push_back(portrait_finding_json(finding));
    return json;
}

std::string text_of(const Json& json) {
    return json.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace cranknote
