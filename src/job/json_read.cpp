#include <algorithm>
#include <limits>
#include <set>

#include "job/disk.hpp"
#include "job/json.hpp"
#include "job/json_fields.hpp"

namespace cranknote::job {
namespace {

constexpr double any = std::numeric_limits<double>::max();
constexpr std::int64_t any_whole = std::numeric_limits<std::int64_t>::max();
constexpr int deepest = 64;  // ours nest three deep; a newer version may go further, an attack much further

Json parse_text(std::string_view text, const std::string& source) {
    const auto refuse_deep = [&](int depth, Json::parse_event_t, const Json&) {
        if (depth > deepest) throw Error("it is nested too deeply", source, "");
        return true;
    };
    try {
        return Json::parse(text, refuse_deep);
    } catch (const Json::exception& e) {
        // "[json.exception.parse_error.101] parse error at line 1, column 2: ...": the name is for
        // programmers.
        const std::string_view what = e.what();
        const auto end = what.find("] ");
        throw Error(std::string(end == what.npos ? what : what.substr(end + 2)), source, "");
    }
}

template <class Q>
std::optional<Q> quantity(FieldReader& r, const char* key, double lowest, double highest) {
    const auto v = r.number(key, lowest, highest);
    return v ? std::optional(Q{*v}) : std::nullopt;
}

bool is_hash(std::string_view text) {
    return text.size() == 64 &&
           std::ranges::all_of(text, [](char c) { return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f'); });
}

State read_state(FieldReader& r) {
    State s;
    s.name = r.needed_text("name");
    s.off = r.texts("off");
    s.with = r.texts("with");
    s.repaired = r.yes_no("repaired").value_or(false);
    s.repaired_what = r.text("repaired_what").value_or("");
    s.unknown = r.left();
    return s;
}

std::optional<Coolant> read_coolant(FieldReader& r) {
    const Json* v = r.take("coolant");
    if (!v) return std::nullopt;
    if (*v == "cold") return Warmth::cold;
    if (*v == "warm") return Warmth::warm;
    if (v->is_number()) return Celsius{*r.number("coolant", -60, 200)};
    r.leave("coolant");
    return std::nullopt;
}

std::optional<SpeedTag> read_speed_tag(FieldReader& r) {
    const Json* v = r.take("speed_tag");
    if (!v) return std::nullopt;
    FieldReader tag(*v, r.where() + ": speed_tag");
    const auto rpm = quantity<Rpm>(tag, "rpm", 1, 30000);
    if (!rpm) tag.wrong("rpm", "a number");
    return SpeedTag{*rpm, quantity<Rpm>(tag, "plus_minus", 0, 30000).value_or(SpeedTag{}.plus_minus)};
}

Recording read_recording(FieldReader& r) {
    Recording rec;
    rec.id = r.needed_text("id");
    rec.file = r.needed_text("file");
    if (!stays_inside(rec.file) || !rec.file.starts_with("recordings/"))
        r.wrong("file", "a file in the job's own recordings/ folder");
    rec.sha256 = r.needed_text("sha256");
    if (!is_hash(rec.sha256)) r.wrong("sha256", "64 hex digits");
    rec.size = static_cast<std::uint64_t>(r.whole("size", 0, any_whole).value_or(0));
    rec.modified = r.moment("modified").value_or(Moment{});
    rec.state = r.needed_text("state");
    rec.from = quantity<Seconds>(r, "from_s", 0, any);
    rec.to = quantity<Seconds>(r, "to_s", 0, any);
    if (rec.to && *rec.to <= rec.from.value_or(Seconds{0})) r.wrong("to_s", "later than from_s");
    rec.placement = r.text("placement");
    rec.near = r.text("near");
    rec.rpm = read_speed_tag(r);
    if (const auto channel = r.whole("pickup_channel", 0, 63))
        rec.pickup_channel = static_cast<int>(*channel);
    rec.since_start = quantity<Seconds>(r, "since_start_s", 0, any);
    rec.coolant = read_coolant(r);
    rec.loads = r.texts("loads");
    rec.weather = r.text("weather");
    rec.notes = r.text("notes");
    rec.at = r.when("at");
    rec.unknown = r.left();
    return rec;
}

std::optional<std::pair<Hertz, Hertz>> read_band(FieldReader& r) {
    const Json* v = r.take("hz");
    if (!v) return std::nullopt;
    if (!v->is_array() || v->size() != 2 || !(*v)[0].is_number() || !(*v)[1].is_number())
        r.wrong("hz", "two numbers [low, high]");
    const double low = (*v)[0].get<double>(), high = (*v)[1].get<double>();
    if (!(low >= 0 && high > low && high < any)) r.wrong("hz", "two numbers [low, high], low first");
    return std::pair{Hertz{low}, Hertz{high}};
}

Complaint read_complaint(FieldReader& r) {
    Complaint c;
    c.id = static_cast<int>(r.whole("id", 1, std::numeric_limits<int>::max()).value_or(0));
    if (c.id == 0) r.wrong("id", "a whole number from 1");
    c.finding = r.text("finding");
    c.ratio = quantity<Ratio>(r, "ratio", 0, any);
    c.beat_ratio = quantity<Ratio>(r, "beat_ratio", 0, any);
    c.hz = read_band(r);
    const auto comes = r.text("comes");
    if (comes == "always")
        c.comes = Comes::always;
    else if (comes == "sometimes")
        c.comes = Comes::sometimes;
    else if (comes)
        r.leave("comes");
    c.when = r.texts("when");
    c.at = r.moment("at");
    c.unknown = r.left();
    return c;
}

Saw read_saw(FieldReader& r) {
    Saw s;
    s.text = r.needed_text("text");
    s.on = r.needed_text("on");
    const auto speaks = r.needed_text("speaks");
    if (speaks != "for" && speaks != "against") r.wrong("speaks", "\"for\" or \"against\"");
    s.speaks_for = speaks == "for";
    s.at = r.when("at");
    s.unknown = r.left();
    return s;
}

Reading read_reading(FieldReader& r) {
    Reading v;
    v.what = r.needed_text("what");
    const auto value = r.number("value", -any, any);
    if (!value) r.wrong("value", "a number");
    v.value = *value;
    v.unit = r.text("unit");
    v.target = r.number("target", -any, any);
    v.tolerance = r.number("tolerance", 0, any);
    v.recording = r.text("recording");
    v.at = r.when("at");
    v.unknown = r.left();
    return v;
}

std::optional<Like> read_like(FieldReader& r) {
    const Json* v = r.take("like");
    if (!v) return std::nullopt;
    FieldReader l(*v, r.where() + ": like");
    Like like;
    like.path = l.text("path").value_or("");
    like.id = l.needed_text("id");
    like.unknown = l.left();
    return like;
}

/// Names and ids are there once, and recordings are of states that there are.
void check_whole(const Job& job, const std::string& source) {
    std::set<std::string> states, ids;
    std::set<int> complaints;
    for (const auto& s : job.states)
        if (!states.insert(s.name).second)
            throw Error("two states are called \"" + s.name + "\"", source, "");
    for (const auto& r : job.recordings) {
        if (!ids.insert(r.id).second) throw Error("two recordings have the id " + r.id, source, "");
        if (!states.contains(r.state))
            throw Error("recording " + r.id + " is of a state that is not there: \"" + r.state + "\"", source,
                        "");
    }
    for (const auto& c : job.complaints)
        if (!complaints.insert(c.id).second)
            throw Error("two complaints have the id " + std::to_string(c.id), source, "");
}

void read_lists(FieldReader& r, Job& job) {
    r.each("states", [&](FieldReader& f) { job.states.push_back(read_state(f)); });
    r.each("recordings", [&](FieldReader& f) { job.recordings.push_back(read_recording(f)); });
    r.each("complaints", [&](FieldReader& f) { job.complaints.push_back(read_complaint(f)); });
    r.each("saw", [&](FieldReader& f) { job.saw.push_back(read_saw(f)); });
    r.each("readings", [&](FieldReader& f) { job.readings.push_back(read_reading(f)); });
}

void read_card(FieldReader& r, Job& job) {
    job.title = r.text("title");
    job.vehicle = r.text("vehicle");
    job.registration = r.text("registration");
    job.mileage = r.text("mileage");
    job.engine_code = r.text("engine_code");
    job.job_card = r.text("job_card");
    job.owner = r.text("owner");
    job.who = r.text("who");
    job.when = r.when("when");
}

}  // namespace

ParsedJob parse_job(std::string_view text, std::string_view source_name) {
    const std::string source(source_name);
    const Json root = parse_text(text, source);
    FieldReader r(root, source);
    ParsedJob parsed;
    Job& job = parsed.job;
    const auto version = r.whole("schema", 1, std::numeric_limits<int>::max());
    if (!version) r.wrong("schema", "a whole number from 1");
    parsed.schema = static_cast<int>(*version);
    (void)r.text("written_by");
    job.id = r.needed_text("id");
    job.revision = static_cast<int>(r.whole("revision", 0, 1'000'000'000).value_or(0));
    job.saved = r.moment("saved");
    job.change = r.text("change").value_or("");
    read_card(r, job);
    const auto layout = r.text("layout");
    if (layout && *layout != "layout.toml") r.wrong("layout", "\"layout.toml\"");
    parsed.layout_sha256 = r.text("layout_sha256").value_or("");
    if (layout && !is_hash(parsed.layout_sha256)) r.wrong("layout_sha256", "64 hex digits");
    if (!layout) parsed.layout_sha256.clear();
    if (const auto n = r.whole("cylinders", 1, 16)) job.cylinders = static_cast<int>(*n);
    job.worked_on = r.texts("worked_on");
    job.like = read_like(r);
    read_lists(r, job);
    job.unknown = r.left();
    check_whole(job, source);
    return parsed;
}

}  // namespace cranknote::job
