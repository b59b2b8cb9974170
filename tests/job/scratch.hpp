// A folder for one test, and what tests of jobs start from.
#pragma once

#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>

#include "job/disk.hpp"
#include "job/job.hpp"
#include "temp_folder.hpp"

namespace cranknote::test {

class Scratch : public TempFolder {
  public:
    std::filesystem::path put(const std::filesystem::path& name, std::string_view bytes) const {
        std::ofstream(path() / name, std::ios::binary) << bytes;
        return path() / name;
    }
};

inline std::string text_of(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

inline bool mentions(const std::string& text, const std::string& part) {
    return text.find(part) != text.npos;
}

}  // namespace cranknote::test

namespace cranknote::job {

/// A job with every field filled, so that one that is forgotten in reading or writing is noticed.
inline Job full_job() {
    const Moment at = *moment_from("2026-03-01T09:30:00Z");
    Job j;
    j.id = "00112233445566778899aabbccddeeff";
    j.revision = 3;
    j.saved = at;
    j.change = "added \"fan.wav\"";
    j.title = "Scrapes after the belt";
    j.vehicle = "invented minibus";
    j.registration = "TE ST 1";
    j.mileage = "123 456 km";
    j.engine_code = "X5";
    j.job_card = "2026/17";
    j.owner = "a rowing club";
    j.who = "J. Bär 🔧";
    j.when = at;
    j.cylinders = 5;
    j.worked_on = {"alternator", "alternator belt"};
    j.like = Like{"../other", "ffeeddccbbaa99887766554433221100", R"({"why":"same engine"})"};
    j.states = {State{"as found", {}, {}, false, "", ""},
                State{"belt off", {"alternator belt"}, {"lock", "ac-on"}, false, "", R"({"torque":12})"},
                State{"repaired", {}, {}, true, "upper timing cover", ""}};
    Recording r;
    r.id = "r1";
    r.file = "recordings/as found.wav";
    r.sha256 = sha256_of("sound");
    r.size = 5;
    r.modified = at;
    r.state = "as found";
    r.from = Seconds{1.5};
    r.to = Seconds{12.25};
    r.placement = "bench";
    r.near = "alternator";
    r.rpm = SpeedTag{Rpm{820}, Rpm{2}};
    r.pickup_channel = 1;
    r.since_start = Seconds{30};
    r.coolant = Celsius{85.5};
    r.loads = {"headlamps"};
    r.weather = "dry";
    r.notes = "bonnet open\nand \"quoted\"";
    r.at = at;
    r.unknown = R"({"phone":{"name":"pocket","year":2026}})";
    j.recordings = {r};
    Complaint c;
    c.id = 2;
    c.finding = "f1";
    c.ratio = Ratio{2.84};
    c.beat_ratio = Ratio{0.5};
    c.hz = std::pair{Hertz{3000}, Hertz{5000}};
    c.comes = Comes::sometimes;
    c.when = {"cold", "under load"};
    c.at = at;
    c.unknown = R"({"loudness":3})";
    j.complaints = {c};
    j.saw = {Saw{"shiny edge", "upper timing cover", false, at, R"({"photo":"edge.jpg"})"}};
    j.readings = {Reading{"idle speed", 815, "rpm", 820, 40, "r1", at, R"({"tool":"scan"})"}};
    j.unknown = R"({"weather_station":[1,2,{"x":null}]})";
    return j;
}

}  // namespace cranknote::job
