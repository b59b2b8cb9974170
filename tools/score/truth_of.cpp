#include "score/truth_of.hpp"

#include <fstream>
#include <nlohmann/json.hpp>

#include "units/error.hpp"

namespace cranknote::score {

namespace {

using Json = nlohmann::json;

std::vector<std::string> words(const Json& j) { return j.get<std::vector<std::string>>(); }

TrueCause cause_of(const Json& j) {
    TrueCause c;
    c.kind = j.at("kind"), c.also = words(j.at("also")), c.words = j.value("words", "");
    if (!j.at("part").is_null()) c.part = j.at("part").get<std::string>();
    return c;
}

std::vector<double> with_first(const Json& first, const Json& more) {
    std::vector<double> v;
    if (!first.is_null()) v.push_back(first);
    for (const auto& m : more) v.push_back(m);
    return v;
}

FaultInTake fault_of(const Json& j) {
    FaultInTake f;
    f.cause = cause_of(j);
    f.level_db = j.at("level_db"), f.low_hz = j.at("low_hz"), f.high_hz = j.at("high_hz");
    f.presence = j.at("presence");
    f.characters = {j.at("character")};
    for (const auto& c : j.at("character_or")) f.characters.push_back(c);
    f.ratios = with_first(j.at("ratio"), j.at("ratio_or"));
    f.beats = with_first(j.at("beat_ratio"), j.at("beat_ratio_or"));
    f.follows = j.at("follows"), f.beat_follows = j.at("beat_follows");
    return f;
}

TrueTake take_of(const Json& j, const std::string& folder) {
    TrueTake t;
    t.path = folder + "/" + j.at("file").get<std::string>();
    t.side = j.at("side").get<std::string>().at(0);
    t.placement = j.at("placement");
    const auto& s = j.at("state");
    t.state = s.at("name"), t.off = words(s.at("off")), t.with = words(s.at("with"));
    t.repaired = s.at("repaired"), t.cold = s.at("cold");
    if (!j.at("speed").at("rpm").is_null()) t.rpm = j.at("speed").at("rpm").get<double>();
    for (const auto& f : j.at("faults")) t.faults.push_back(fault_of(f));
    t.quality = words(j.at("quality"));
    return t;
}

}  // namespace

TrueCase read_truth(const std::string& folder) {
    std::ifstream in(folder + "/truth.json");
    if (!in) throw Error("cannot be read", folder + "/truth.json", "is it a folder that `simulate` wrote?");
    try {
        const auto j = Json::parse(in);
        TrueCase c;
        c.folder = folder;
        c.id = j.at("id"), c.relation = j.at("relation"), c.purpose = j.at("purpose");
        c.cylinders = j.at("cylinders"), c.same_placement = j.at("same_placement");
        if (!j.at("fault_side").is_null()) c.fault_side = j.at("fault_side").get<std::string>().at(0);
        for (const auto& g : j.at("guilty")) c.guilty.push_back(cause_of(g));
        for (const auto& t : j.at("takes")) c.takes.push_back(take_of(t, folder));
        return c;
    } catch (const Json::exception& e) {
        throw Error("is not a truth file", folder + "/truth.json", e.what());
    }
}

}  // namespace cranknote::score
