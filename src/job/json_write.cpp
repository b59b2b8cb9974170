#include "job/disk.hpp"
#include "job/json.hpp"
#include "job/json_fields.hpp"
#include "job/version.hpp"

namespace cranknote::job {
namespace {

Json json_of(const State& s) {
    FieldWriter w;
    w.put("name", s.name);
    w.put("off", s.off);
    w.put("with", s.with);
    w.put("repaired", s.repaired);
    w.put("repaired_what", s.repaired_what.empty() ? std::nullopt : std::optional(s.repaired_what));
    return std::move(w).with(s.unknown);
}

Json json_of(const Coolant& c) {
    if (const auto* felt = std::get_if<Warmth>(&c)) return *felt == Warmth::cold ? "cold" : "warm";
    return std::get<Celsius>(c).value();
}

Json json_of(const SpeedTag& tag) {
    return {{"rpm", tag.rpm.value()}, {"plus_minus", tag.plus_minus.value()}};
}

Json json_of(const Recording& r) {
    FieldWriter w;
    w.put("id", r.id);
    w.put("file", r.file);
    w.put("sha256", r.sha256);
    w.put("size", r.size);
    w.put("modified", to_iso(r.modified));
    w.put("state", r.state);
    w.put("from_s", r.from);
    w.put("to_s", r.to);
    w.put("placement", r.placement);
    w.put("near", r.near);
    w.put("speed_tag", r.rpm ? json_of(*r.rpm) : Json(nullptr));
    w.put("pickup_channel", r.pickup_channel);
    w.put("since_start_s", r.since_start);
    w.put("coolant", r.coolant ? json_of(*r.coolant) : Json(nullptr));
    w.put("loads", r.loads);
    w.put("weather", r.weather);
    w.put("notes", r.notes);
    w.put("at", r.at);
    return std::move(w).with(r.unknown);
}

Json json_of(const Complaint& c) {
    FieldWriter w;
    w.put("id", c.id);
    w.put("finding", c.finding);
    w.put("ratio", c.ratio);
    w.put("beat_ratio", c.beat_ratio);
    w.put("hz", c.hz ? Json::array({c.hz->first.value(), c.hz->second.value()}) : Json(nullptr));
    w.put("comes", c.comes ? Json(*c.comes == Comes::always ? "always" : "sometimes") : Json(nullptr));
    w.put("when", c.when);
    w.put("at", c.at);
    return std::move(w).with(c.unknown);
}

Json json_of(const Saw& s) {
    FieldWriter w;
    w.put("text", s.text);
    w.put("on", s.on);
    w.put("speaks", s.speaks_for ? "for" : "against");
    w.put("at", s.at);
    return std::move(w).with(s.unknown);
}

Json json_of(const Reading& r) {
    FieldWriter w;
    w.put("what", r.what);
    w.put("value", r.value);
    w.put("unit", r.unit);
    w.put("target", r.target);
    w.put("tolerance", r.tolerance);
    w.put("recording", r.recording);
    w.put("at", r.at);
    return std::move(w).with(r.unknown);
}

Json json_of(const Like& l) {
    FieldWriter w;
    w.put("path", l.path);
    w.put("id", l.id);
    return std::move(w).with(l.unknown);
}

template <class T>
Json list_of(const std::vector<T>& items) {
    Json list = Json::array();
    for (const T& item : items) list.push_back(json_of(item));
    return list;
}

}  // namespace

std::string to_json(const Job& job) {
    FieldWriter w;
    w.put("schema", schema);
    w.put("written_by", "cranknote " + program_version());
    w.put("id", job.id);
    w.put("revision", job.revision);
    w.put("saved", job.saved);
    w.put("change", job.change);
    w.put("title", job.title);
    w.put("vehicle", job.vehicle);
    w.put("registration", job.registration);
    w.put("mileage", job.mileage);
    w.put("engine_code", job.engine_code);
    w.put("job_card", job.job_card);
    w.put("owner", job.owner);
    w.put("who", job.who);
    w.put("when", job.when);
    w.put("layout", job.layout ? Json("layout.toml") : Json(nullptr));
    w.put("layout_sha256", job.layout ? Json(sha256_of(*job.layout)) : Json(nullptr));
    w.put("cylinders", job.cylinders);
    w.put("worked_on", job.worked_on);
    w.put("like", job.like ? json_of(*job.like) : Json(nullptr));
    w.put("states", list_of(job.states));
    w.put("recordings", list_of(job.recordings));
    w.put("complaints", list_of(job.complaints));
    w.put("saw", list_of(job.saw));
    w.put("readings", list_of(job.readings));
    return std::move(w).with(job.unknown).dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace cranknote::job
