#include "speed_takes.hpp"

#include <algorithm>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "audio/decode.hpp"

namespace cranknote::score {

namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

Json json_of(const SpeedTake& t) {
    const auto& tr = t.truth;
    Json j = {{"cylinders", t.cylinders},
              {"stroke", t.stroke},
              {"codec", t.codec},
              {"rate", t.rate.value()},
              {"mean", tr.mean.value()},
              {"low", tr.low.value()},
              {"high", tr.high.value()},
              {"from", tr.running.first.value()},
              {"to", tr.running.second.value()},
              {"course", tr.course},
              {"wander", tr.wander},
              {"phone", tr.phone},
              {"background", tr.background},
              {"quality", tr.quality}};
    if (tr.low_cut) j["low_cut"] = tr.low_cut->value();
    for (std::size_t i = 0; i < tr.track.at.size(); ++i)
        j["track"].push_back({tr.track.at[i].value(), tr.track.rpm[i].value()});
    return j;
}

void fill(SpeedTake& t, const Json& j) {
    auto& tr = t.truth;
    t.cylinders = j.at("cylinders"), t.stroke = j.at("stroke");
    t.codec = j.at("codec"), t.rate = SampleRate{j.at("rate").get<double>()};
    tr.mean = Rpm{j.at("mean").get<double>()};
    tr.low = Rpm{j.at("low").get<double>()}, tr.high = Rpm{j.at("high").get<double>()};
    tr.running = {Seconds{j.at("from").get<double>()}, Seconds{j.at("to").get<double>()}};
    tr.course = j.at("course"), tr.wander = j.at("wander"), tr.phone = j.at("phone");
    tr.background = j.at("background"), tr.quality = j.at("quality");
    if (j.contains("low_cut")) tr.low_cut = Hertz{j.at("low_cut").get<double>()};
    for (const auto& p : j.value("track", Json::array())) {
        tr.track.at.emplace_back(p.at(0).get<double>());
        tr.track.rpm.emplace_back(p.at(1).get<double>());
    }
}

bool read_kept(SpeedTake& t, const fs::path& base) {
    std::ifstream sound(base.string() + ".f32", std::ios::binary), truth(base.string() + ".json");
    if (!sound || !truth) return false;
    fill(t, Json::parse(truth));
    t.sound.resize(fs::file_size(base.string() + ".f32") / sizeof(float));
    sound.read(reinterpret_cast<char*>(t.sound.data()),
               static_cast<std::streamsize>(t.sound.size() * sizeof(float)));
    return static_cast<bool>(sound);
}

void keep_it(const SpeedTake& t, const fs::path& base) {
    fs::create_directories(base.parent_path());
    std::ofstream sound(base.string() + ".f32", std::ios::binary), truth(base.string() + ".json");
    sound.write(reinterpret_cast<const char*>(t.sound.data()),
                static_cast<std::streamsize>(t.sound.size() * sizeof(float)));
    truth << json_of(t).dump() << "\n";
}

}  // namespace

SpeedTake make_speed_take(simulate::Set set, simulate::Purpose purpose, int index, const std::string& keep) {
    SpeedTake t;
    t.id = simulate::name_of(set) + "-" + simulate::name_of(purpose) + "-" + std::to_string(index);
    if (!keep.empty() && read_kept(t, fs::path(keep) / t.id)) return t;
    auto c = simulate::make_case(set, purpose, index);
    auto& take = c.takes.front();
    t.cylinders = c.cylinders;
    t.stroke = c.layout_toml.find("stroke = 2") != std::string::npos ? 2 : 4;
    t.codec = take.codec;
    t.rate = take.sound.rate;
    t.sound = std::move(take.sound.channels.front());
    t.truth = std::move(take.truth);
    if (!keep.empty()) keep_it(t, fs::path(keep) / t.id);
    return t;
}

std::vector<std::string> wav_files_in(const std::string& folder) {
    std::vector<std::string> files;
    for (const auto& f : fs::directory_iterator(folder))
        if (f.path().extension() == ".wav") files.push_back(f.path().string());
    std::sort(files.begin(), files.end());
    return files;
}

SpeedTake read_speed_take(const std::string& wav) {
    SpeedTake t;
    t.id = fs::path(wav).stem().string();
    const auto sound = read_stretch(wav).recording;
    std::ifstream truth(fs::path(wav).replace_extension(".json"));
    const auto j = Json::parse(truth);
    t.cylinders = j.at("cylinders");
    t.codec = "wav";
    t.rate = sound.rate;
    t.sound = sound.channels.front();
    t.truth.mean = Rpm{j.at("rpm").get<double>()};
    t.truth.low = t.truth.high = t.truth.mean;
    t.truth.running = {Seconds{0}, sound.duration()};
    t.truth.course = "idle";
    t.truth.phone = "other origin";
    t.truth.track = {{Seconds{0}, sound.duration()}, {t.truth.mean, t.truth.mean}};
    return t;
}

}  // namespace cranknote::score
