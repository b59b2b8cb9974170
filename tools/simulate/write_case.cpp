// The truth as JSON, and a case as files.
#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "simulate/codec.hpp"
#include "simulate/sets.hpp"
#include "units/error.hpp"

namespace cranknote::simulate {

namespace {

using Json = nlohmann::ordered_json;

double rounded(double v, double step) { return std::round(v / step) * step; }

Json ratios(const std::vector<Ratio>& list) {
    Json j = Json::array();
    for (const auto& r : list) j.push_back(rounded(r.value(), 1e-5));
    return j;
}

Json ratio_or_null(const std::optional<Ratio>& r) {
    return r ? Json(rounded(r->value(), 1e-6)) : Json(nullptr);
}

Json json_of(const TrueCause& c) {
    return {{"kind", c.kind},
            {"part", c.part ? Json(*c.part) : Json(nullptr)},
            {"also", c.also},
            {"words", c.words}};
}

Json json_of(const TrueFault& f) {
    Json j = json_of(f.cause);
    j["level_db"] = rounded(f.level.value(), 0.01);
    j["low_hz"] = rounded(f.band.first.value(), 0.1);
    j["high_hz"] = rounded(f.band.second.value(), 0.1);
    j["presence"] = rounded(f.presence, 0.001);
    j["character"] = f.character;
    j["character_or"] = f.character_or;
    j["ratio"] = ratio_or_null(f.ratio);
    j["ratio_or"] = ratios(f.ratio_or);
    j["beat_ratio"] = ratio_or_null(f.beat_ratio);
    j["beat_ratio_or"] = ratios(f.beat_ratio_or);
    j["follows"] = f.follows;
    j["beat_follows"] = f.beat_follows;
    return j;
}

Json json_of(const TrueState& s) {
    return {{"name", s.name}, {"off", s.off},           {"still", s.still},
            {"with", s.with}, {"repaired", s.repaired}, {"repaired_what", s.repaired_what},
            {"cold", s.cold}};
}

Json speed_json(const TakeTruth& t) {
    Json track = Json::array();
    for (std::size_t i = 0; i < t.track.at.size(); ++i)
        track.push_back({rounded(t.track.at[i].value(), 0.001), rounded(t.track.rpm[i].value(), 0.01)});
    const bool runs = t.running.second > t.running.first;
    return {{"course", t.course},
            {"rpm", runs ? Json(rounded(t.mean.value(), 0.001)) : Json(nullptr)},
            {"low", runs ? Json(rounded(t.low.value(), 0.01)) : Json(nullptr)},
            {"high", runs ? Json(rounded(t.high.value(), 0.01)) : Json(nullptr)},
            {"running_s", {t.running.first.value(), t.running.second.value()}},
            {"track", track}};
}

Json json_of(const Take& t, const std::string& file) {
    Json j{{"file", file},
           {"side", std::string(1, t.side)},
           {"placement", t.placement},
           {"state", json_of(t.state)},
           {"speed", speed_json(t.truth)}};
    Json rates = Json::object();
    for (const auto& [name, r] : t.truth.rates) rates[name] = rounded(r.value(), 1e-6);
    j["rates"] = rates;
    j["faults"] = Json::array();
    for (const auto& f : t.truth.faults) j["faults"].push_back(json_of(f));
    j["since_start_s"] =
        t.truth.since_start.value() >= 0.0 ? Json(rounded(t.truth.since_start.value(), 0.01)) : Json(nullptr);
    j["phone"] = t.truth.phone;
    j["low_cut_hz"] = t.truth.low_cut ? Json(rounded(t.truth.low_cut->value(), 0.1)) : Json(nullptr);
    j["band_limit_hz"] = t.truth.band_limit ? Json(rounded(t.truth.band_limit->value(), 0.1)) : Json(nullptr);
    j["background"] = t.truth.background;
    j["quality"] = t.truth.quality;
    return j;
}

std::string file_of(const Take& t) { return t.name + "." + t.codec; }

void write_file(const std::filesystem::path& path, const std::string& bytes) {
    std::ofstream out(path, std::ios::binary);
    out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    if (!out.flush())
        throw Error("cannot write", path.string(), "is the folder there, and the disk not full?");
}

}  // namespace

std::string truth_json(const Case& c) {
    Json j{{"schema", 1},
           {"simulated", true},
           {"id", c.id},
           {"set", name_of(c.set)},
           {"purpose", name_of(c.purpose)},
           {"index", c.index},
           {"cylinders", c.cylinders}};
    j["relation"] = name_of(c.truth.relation);
    j["same_placement"] = c.truth.same_placement;
    j["fault_side"] = c.truth.fault_side ? Json(std::string(1, *c.truth.fault_side)) : Json(nullptr);
    j["level_nominal_db"] = c.truth.guilty.empty() ? Json(nullptr) : Json(c.truth.level_nominal);
    j["guilty"] = Json::array();
    for (const auto& g : c.truth.guilty) j["guilty"].push_back(json_of(g));
    j["takes"] = Json::array();
    for (const auto& t : c.takes) j["takes"].push_back(json_of(t, file_of(t)));
    return j.dump(2) + "\n";
}

void write_case(const Case& c, const std::string& folder) {
    const std::filesystem::path path(folder);
    std::error_code failed;
    std::filesystem::create_directories(path, failed);
    if (failed) throw Error("cannot make the folder", folder, failed.message());
    write_file(path / "layout.toml", c.layout_toml);
    write_file(path / "layout-half-unknown.toml", c.half_unknown_layout_toml);
    write_file(path / "truth.json", truth_json(c));
    for (const auto& t : c.takes)
        write_file(path / file_of(t), t.codec == "wav" ? wav_bytes(t.sound) : t.encoded);
}

}  // namespace cranknote::simulate
