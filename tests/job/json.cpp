#include "job/json.hpp"

#include <catch2/catch.hpp>
#include <clocale>
#include <cstdlib>
#include <nlohmann/json.hpp>

#include "job/scratch.hpp"
#include "units/error.hpp"

namespace cranknote::job {

using test::Scratch;

namespace {

/// The smallest job, with `fields` added.
std::string job_with(const std::string& fields) {
    return R"({"schema":1,"id":"00")" + (fields.empty() ? "" : "," + fields) + "}";
}

std::string trouble_with(const std::string& text) {
    try {
        (void)parse_job(text, "job.json");
    } catch (const Error& e) {
        return e.what();
    }
    return "read without trouble";
}

const std::string sha(64, 'a');
const std::string one_state = R"("states":[{"name":"as found"}])";
std::string recording(const std::string& fields) {
    return one_state + R"(,"recordings":[{"id":"r1","file":"recordings/a.wav","sha256":")" + sha +
           R"(","state":"as found")" + (fields.empty() ? "" : "," + fields) + "}]";
}

}  // namespace

TEST_CASE("a job comes back from its text as it was, every field") {
    const std::string text = to_json(full_job());
    const auto back = parse_job(text, "job.json");
    CHECK(to_json(back.job) == text);
    // Not only the text: fields that the writer forgot would be missing in both texts.
    const Recording& r = back.job.recordings.at(0);
    CHECK(r.from == Seconds{1.5});
    CHECK(r.to == Seconds{12.25});
    CHECK(r.rpm->plus_minus == Rpm{2});
    CHECK(std::get<Celsius>(*r.coolant) == Celsius{85.5});
    CHECK(r.at == full_job().recordings[0].at);
    CHECK(r.near == "alternator");
    CHECK(r.loads == std::vector<std::string>{"headlamps"});
    CHECK(back.job.who == "J. Bär 🔧");
    CHECK(back.job.states.at(2).repaired_what == "upper timing cover");
    CHECK(back.job.complaints.at(0).hz->second == Hertz{5000});
    CHECK(back.job.complaints.at(0).comes == Comes::sometimes);
    CHECK_FALSE(back.job.saw.at(0).speaks_for);
    CHECK(back.job.readings.at(0).tolerance == 40.0);
    CHECK(back.job.like->path == "../other");
}

TEST_CASE("every field is in the same place in every save, and what is not known is null") {
    const auto names = [](const Job& j) {
        std::vector<std::string> list;
        const auto root = nlohmann::ordered_json::parse(to_json(j));
        for (const auto& [key, value] : root.items()) list.push_back(key);
        return list;
    };
    Job full = full_job();
    full.unknown.clear();
    Job empty;
    empty.id = "00";
    CHECK(names(full) == names(empty));
    const auto root = nlohmann::ordered_json::parse(to_json(empty));
    CHECK(root["mileage"].is_null());
    CHECK(root["cylinders"].is_null());
    CHECK(to_json(empty).find("\n  \"states\": []") != std::string::npos);
}

TEST_CASE("fields of a newer version are kept at every level") {
    const auto root = nlohmann::ordered_json::parse(to_json(full_job()));
    CHECK(root["weather_station"][2].contains("x"));
    CHECK(root["states"][1]["torque"] == 12);
    CHECK(root["recordings"][0]["phone"]["year"] == 2026);
    CHECK(root["complaints"][0]["loudness"] == 3);
    CHECK(root["saw"][0]["photo"] == "edge.jpg");
    CHECK(root["readings"][0]["tool"] == "scan");
    CHECK(root["like"]["why"] == "same engine");
}

TEST_CASE("a known field with a newer version's value is not known here, and kept") {
    const auto parsed = parse_job(job_with(recording(R"("coolant":"boiling")")), "job.json");
    CHECK_FALSE(parsed.job.recordings.at(0).coolant.has_value());
    const auto root = nlohmann::ordered_json::parse(to_json(parsed.job));
    CHECK(root["recordings"][0]["coolant"] == "boiling");
}

TEST_CASE("a newer schema is read and named") {
    CHECK(parse_job(R"({"schema":7,"id":"00"})", "job.json").schema == 7);
    CHECK(parse_job(R"({"schema":1,"id":"00"})", "job.json").schema == 1);
}

TEST_CASE("what is wrong in job.json is said with its place") {
    CHECK(trouble_with("").find("job.json") == 0);
    CHECK(trouble_with("[]").find("an object") != std::string::npos);
    CHECK(trouble_with(R"({"id":"00"})") == "job.json: schema should be a whole number from 1");
    CHECK(trouble_with(job_with(R"("title":7)")) == "job.json: title should be text");
    CHECK(trouble_with(job_with(R"("states":[{"name":""}])")) ==
          "job.json: states[0]: name should be text, and not empty");
    CHECK(trouble_with(job_with(R"("states":[{"name":"a"},{"name":"a"}])")) ==
          "job.json: two states are called \"a\"");
    CHECK(trouble_with(job_with(R"("cylinders":17)")).find("cylinders") != std::string::npos);
    CHECK(trouble_with(job_with(recording(R"("size":-1)"))).find("recordings[0]: size") != std::string::npos);
    CHECK(trouble_with(job_with(recording(R"("size":18446744073709551615)"))).find("size") !=
          std::string::npos);
    CHECK(trouble_with(job_with(recording(R"("from_s":5,"to_s":5)"))).find("later than from_s") !=
          std::string::npos);
    CHECK(trouble_with(job_with(recording(R"("speed_tag":{"plus_minus":3})"))).find("speed_tag: rpm") !=
          std::string::npos);
    CHECK(trouble_with(job_with(R"("layout":"/etc/passwd")")).find("layout.toml") != std::string::npos);
    CHECK(trouble_with(job_with(R"("when":"yesterday")")).find("date and time") != std::string::npos);
    CHECK(trouble_with(job_with(R"("title":"caf\xe9")")).find("read without") == std::string::npos);
}

TEST_CASE("a recording is never outside of recordings/") {
    for (const std::string file : {"/etc/passwd", "../a.wav", "recordings/../../a.wav", "recordings/",
                                   "recordings", "notes/a.wav", "recordings//a.wav", "recordings/./a.wav",
                                   "recordings\\\\..\\\\a.wav", "recordings/a\\u0000.wav"}) {
        INFO(file);
        const std::string text = job_with(one_state + R"(,"recordings":[{"id":"r1","file":")" + file +
                                          R"(","sha256":")" + sha + R"(","state":"as found"}])");
        CHECK(trouble_with(text).find("recordings[0]: file") != std::string::npos);
    }
    CHECK(trouble_with(job_with(recording(""))) == "read without trouble");
}

TEST_CASE("deep nesting is refused, not followed") {
    const std::string deep(100000, '[');
    CHECK(trouble_with(job_with("\"x\":" + deep)).find("nested too deeply") != std::string::npos);
}

TEST_CASE("text that is not UTF-8 does not keep a job from being saved") {
    Job j = full_job();
    j.title = "caf\xe9";
    const auto back = parse_job(to_json(j), "job.json");
    CHECK(back.job.title == "caf\xef\xbf\xbd");  // U+FFFD, the replacement character
}

TEST_CASE("numbers are written with a point where the locale has a comma") {
    const Scratch scratch;
    const std::string make =
        "localedef -i de_DE -f UTF-8 '" + (scratch / "de_DE.UTF-8").string() + "' >/dev/null 2>&1";
    (void)!std::system(make.c_str());
    setenv("LOCPATH", scratch.path().c_str(), 1);
    const bool comma = std::setlocale(LC_ALL, "de_DE.UTF-8") && std::localeconv()->decimal_point[0] == ',';
    unsetenv("LOCPATH");
    const std::string text = to_json(full_job());
    const auto end = parse_job(text, "job.json").job.recordings.at(0).to;
    std::setlocale(LC_ALL, "C");
    if (!comma) WARN("no locale with a decimal comma could be made (package locales): not checked");
    CHECK(text == to_json(full_job()));
    CHECK(text.find("12.25") != std::string::npos);
    CHECK(end == Seconds{12.25});
}

TEST_CASE("a reading is on target with its limits, off it beyond, and unknown without a target") {
    const auto reading = [](double value, std::optional<double> target, std::optional<double> tolerance) {
        return on_target(Reading{"belt deflection", value, "mm", target, tolerance, {}, {}, ""});
    };
    CHECK(reading(0.3, 0.2, 0.1) == true);
    CHECK(reading(0.31, 0.2, 0.1) == false);
    CHECK_FALSE(reading(0.3, 0.2, std::nullopt).has_value());
    CHECK_FALSE(reading(0.3, std::nullopt, 0.1).has_value());
}

}  // namespace cranknote::job
