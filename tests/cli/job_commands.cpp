// The commands of a job, as a person or a script calls them.
#include <sys/stat.h>

#include <filesystem>

#include "cli/garage.hpp"

namespace {

using namespace cranknote::test;
using Json = nlohmann::json;

}  // namespace

TEST_CASE("a job is made, filled and shown") {
    const Garage garage;
    garage.fill();
    garage.done(
        {"mark", "job", "--ratio", "2.84", "--comes", "sometimes", "--when", "cold", "--when", "wet"});
    garage.done({"saw", "job", "shiny edge", "--on", "upper cover", "--for"});
    garage.done(
        {"reading", "job", "idle speed", "815", "--unit", "rpm", "--target", "820", "--tolerance", "40"});
    garage.done({"reading", "job", "trim", "-3.5"});
    garage.done({"card", "job", "--registration", "TE ST 1"});
    const Json j = garage.states();
    CHECK(j["schema"] == 1);
    CHECK(j["job"] == "job");
    CHECK(j["registration"] == "TE ST 1");
    REQUIRE(j["states"].size() == 2);
    CHECK(j["states"][1]["name"] == "belt off");
    CHECK(j["states"][1]["off"] == Json::array({"fan belt off"}));
    CHECK(j["states"][1]["still"] == Json::array({"fan", "fan belt", "water pump"}));
    CHECK(j["recordings"][1]["coolant"] == "cold");
    CHECK(j["recordings"][1]["since_start_s"].is_null());
    CHECK(j["complaints"][0]["ratio"] == 2.84);
    CHECK(j["complaints"][0]["when"] == Json::array({"cold", "wet"}));
    CHECK(j["saw"][0]["speaks"] == "for");
    CHECK(j["readings"][0]["on_target"] == true);
    CHECK(j["readings"][1]["value"] == -3.5);
    CHECK(j["readings"][1]["on_target"].is_null());
    CHECK(says(garage.done({"reading", "job"}), "idle speed: 815 rpm, target 820 ± 40: on target"));
    CHECK(says(garage.done({"states", "job"}), "standing still: fan, fan belt, water pump"));
}

TEST_CASE("adding says what it understood") {
    const Garage garage;
    garage.fill();
    const auto said = garage.done({"add",           "job",
                                   "c.wav",         "--state",
                                   "repaired",      "--repaired=fan belt",
                                   "--rpm",         "820~2",
                                   "--from",        "0.5",
                                   "--to",          "1.5",
                                   "--placement",   "tripod",
                                   "--near",        "upper cover",
                                   "--since-start", "30",
                                   "--coolant",     "85",
                                   "--at",          "2026-03-01 10:30",
                                   "--load",        "headlamps",
                                   "--with",        "lock"});
    for (const char* part :
         {"r3", "New state \"repaired\", number 3 of 3; off: nothing", "Repaired: fan belt", "With: lock",
          "2.0 s, 8 kHz, one channel", "from 0.5 s to 1.5 s", "820 ± 2 rpm", "coolant 85 °C",
          "30 s after the start", "placement tripod", "headlamps"}) {
        INFO(said);
        CHECK(says(said, part));
    }
    const Json r = garage.states()["recordings"][2];
    CHECK(r["speed_tag"] == Json({{"rpm", 820.0}, {"plus_minus", 2.0}}));
    CHECK(r["near"] == "upper cover");
    CHECK(says(garage.done({"add", "job", "d.wav", "--state", "belt off", "--off", "fan belt off"}),
               "Caution: "));
}

TEST_CASE("a dash gauge is 40 rpm unsure, and - is not known") {
    const Garage garage;
    garage.done({"new", "job", "--cylinders", "4"});
    garage.done({"add", "job", "a.wav", "--state", "as found", "--rpm", "820"});
    garage.done({"add", "job", "b.wav", "--state", "as found", "--rpm", "-"});
    const Json j = garage.states();
    CHECK(j["recordings"][0]["speed_tag"]["plus_minus"] == 40.0);
    CHECK(j["recordings"][1]["speed_tag"].is_null());
}

TEST_CASE("--repaired takes its name only with =, so that what follows stays what it is") {
    const Garage garage;
    garage.fill();
    garage.done({"add", "--repaired", "job", "c.wav", "--state", "repaired"});
    const Json j = garage.states();
    CHECK(j["states"][2]["repaired"] == true);
    CHECK(j["states"][2]["repaired_what"].is_null());
    check_refused(garage.run({"add", "job", "d.wav", "--state", "x", "--repaired=gearbox"}), "gearbox");
}

TEST_CASE("a job starts like another and keeps it as a sister") {
    const Garage garage;
    garage.fill();
    garage.done({"new", "next", "--like", "job", "--worked-on", "fan", "--worked-on", "fan belt"});
    const Json next = Json::parse(garage.done({"states", "next", "--json"}));
    CHECK(next["like"]["path"] == "job");
    CHECK(next["like"]["id"] == garage.states()["id"]);
    CHECK(next["layout"] == "layout.toml");
    CHECK(next["recordings"].empty());
    CHECK(next["worked_on"] == Json::array({"fan", "fan belt"}));
    CHECK(text_of(garage.folder() / "next/layout.toml") == small_layout);
}

TEST_CASE("undo says what it undid, and can be undone") {
    const Garage garage;
    garage.fill();
    CHECK(says(garage.done({"undo", "job"}), "Undone: added \"b.wav\" to state \"belt off\" (r2)."));
    CHECK(garage.states()["states"].size() == 1);
    CHECK(says(garage.done({"undo", "job", "--redo"}), "Done again: added \"b.wav\""));
    CHECK(garage.states()["states"].size() == 2);
    garage.done({"undo", "job"});
    garage.done({"undo", "job"});
    check_refused(garage.run({"undo", "job"}), "nothing to undo", 1);
}

TEST_CASE("verify tells a whole job from one that is not") {
    const Garage garage;
    garage.fill();
    Json v = Json::parse(garage.done({"verify", "job", "--json"}));
    CHECK(v["whole"] == true);
    CHECK(v["files"] == 2);
    put_tone(garage.folder() / "job/recordings/a.wav", 200, 2);
    v = Json::parse(garage.done({"verify", "job", "--json"}));
    CHECK(v["whole"] == false);
    CHECK(v["troubles"][0]["file"] == "recordings/a.wav");
    CHECK(v["troubles"][0]["fault"] == "changed");
    const auto said = garage.run({"verify", "job"});
    CHECK(said.code == 1);
    CHECK(said.out.empty());
    CHECK(said.err ==
          "cranknote: recordings/a.wav: the original was changed: its content is not what was added\n"
          "cranknote: job: the job is not whole: 1 trouble, 2 originals checked\n");
}

TEST_CASE("verify passes over a stray file, but names it") {
    const Garage garage;
    garage.fill();
    garage.folder().put("job/recordings/stray.wav", "x");
    const auto said = garage.done({"verify", "job"});
    CHECK(says(said, "recordings/stray.wav: no recording of the job names this file"));
    CHECK(says(said, "The job is whole: 2 originals checked by hash, 2 earlier versions can be read."));
}

TEST_CASE("a day without a time stays a day") {
    const Garage garage;
    garage.done({"new", "job", "--cylinders", "4", "--date", "2026-03-01"});
    garage.done({"add", "job", "a.wav", "--state", "as found", "--at", "2026-03-02"});
    garage.done({"saw", "job", "shiny", "--on", "alternator", "--for", "--at", "2026-03-03"});
    const auto shown = garage.done({"states", "job"});
    CHECK(says(shown, "Date: 2026-03-01 1. as found"));
    CHECK(says(shown, "recorded 2026-03-02 "));
    CHECK_FALSE(says(shown, "00:00"));
    const Json j = garage.states();
    CHECK(j["when"] == "2026-03-01");
    CHECK(j["recordings"][0]["at"] == "2026-03-02");
    CHECK(j["saw"][0]["at"] == "2026-03-03");
    garage.done({"card", "job", "--date", "2026-03-01 10:30"});
    CHECK(says(garage.done({"states", "job"}), "Date: 2026-03-01 10:30"));
}

TEST_CASE("wrong calls of new") {
    const Garage garage;
    garage.fill();
    check_refused(garage.run({"new", "job", "--cylinders", "4"}), "there is a job here already");
    check_refused(garage.run({"new", "x"}), "which engine?");
    check_refused(garage.run({"new", "--cylinders", "4"}), "JOB is required");
    check_refused(garage.run({"new", "x", "--cylinders", "4", "--layout", "small.toml"}), "both");
    check_refused(garage.run({"new", "x", "--layout", "small.toml", "--layout", "small.toml"}), "--layout");
    check_refused(garage.run({"new", "x", "--cylinders", "0"}), "--cylinders");
    check_refused(garage.run({"new", "x", "--cylinders", "17"}), "--cylinders");
    check_refused(garage.run({"new", "x", "--cylinders", "four"}), "--cylinders");
    check_refused(garage.run({"new", "x", "--cylinders", "4", "--worked-on", "gearbox"}), "gearbox");
    check_refused(garage.run({"new", "x", "--cylinders", "4", "--date", "yesterday"}), "--date");
    check_refused(garage.run({"new", "x", "--layout", "no such file"}), "no such file", 1);
    check_refused(garage.run({"new", "x", "--layout", "not sound.wav"}), "not sound.wav", 1);
    check_refused(garage.run({"new", "x", "--like", "no such job"}), "no such job", 1);
    check_refused(garage.run({"new", "no/such/place", "--cylinders", "4"}), "no such folder", 1);
    CHECK_FALSE(std::filesystem::exists(garage.folder() / "x"));
}

TEST_CASE("wrong calls of add change nothing") {
    const Garage garage;
    garage.fill();
    const std::string before = text_of(garage.folder() / "job/job.json");
    const auto refused = [&](std::vector<std::string> more, const std::string& part, int code = 2) {
        std::vector<std::string> call{"add", "job", "c.wav"};
        call.insert(call.end(), more.begin(), more.end());
        check_refused(garage.run(call), part, code);
    };
    refused({}, "--state is required");
    refused({"--state", ""}, "--state");
    refused({"--state", "belt off"}, "in state \"belt off\" is off");
    refused({"--state", "as found", "--off", "fan"}, "in state \"as found\" is off: nothing");
    refused({"--state", "as found", "--with", "lock"}, "--with");
    refused({"--state", "x", "--off", "fann"}, "did you mean `fan`?");
    refused({"--state", "x", "--off", "timing belt"}, "must not run");
    refused({"--state", "x", "--with", "dance"}, "--with");
    refused({"--state", "x", "--near", "moon"}, "--near");
    for (const char* rpm :
         {"-5", "80000", "0", "nan", "inf", "fast", "820~", "820~-1", "820~900", "8,20", ""})
        if (*rpm) refused({"--state", "x", "--rpm", rpm}, "--rpm");
    refused({"--state", "x", "--rpm", "820", "--rpm", "830"}, "--rpm");
    refused({"--state", "x", "--coolant", "tepid"}, "--coolant");
    refused({"--state", "x", "--coolant", "500"}, "--coolant");
    refused({"--state", "x", "--since-start", "-1"}, "--since-start");
    refused({"--state", "x", "--at", "25:00"}, "--at");
    refused({"--state", "x", "--from", "1.5", "--to", "1"}, "ends before it begins");
    refused({"--state", "x", "--to", "99"}, "the file is 2.0 s long");
    refused({"--state", "x", "--colour", "red"}, "--colour");
    refused({"--state", "x", "d.wav"}, "d.wav");
    check_refused(garage.run({"add", "job", "a.wav", "--state", "as found"}), "has this sound already");
    check_refused(garage.run({"add", "job", "nothing.wav", "--state", "x"}), "nothing.wav", 1);
    check_refused(garage.run({"add", "job", "not sound.wav", "--state", "x"}), "not sound.wav", 1);
    check_refused(garage.run({"add", "job", ".", "--state", "x"}), "cranknote", 1);
    check_refused(garage.run({"add", "no job", "a.wav", "--state", "x"}), "no such job", 1);
    CHECK(text_of(garage.folder() / "job/job.json") == before);
    CHECK(std::distance(std::filesystem::directory_iterator(garage.folder() / "job/recordings"), {}) == 2);
}

TEST_CASE("the first recording is of the engine as found") {
    const Garage garage;
    garage.done({"new", "job", "--cylinders", "4"});
    check_refused(garage.run({"add", "job", "a.wav", "--state", "fan off", "--off", "fan"}),
                  "first state of a job is \"as found\"");
}

TEST_CASE("wrong calls of mark, saw, reading, card and the rest") {
    const Garage garage;
    garage.fill();
    const std::string before = text_of(garage.folder() / "job/job.json");
    check_refused(garage.run({"mark", "job"}), "which noise?");
    check_refused(garage.run({"mark", "job", "f1", "--ratio", "2"}), "two ways");
    check_refused(garage.run({"mark", "job", "noise"}), "no finding's name");
    check_refused(garage.run({"mark", "job", "--ratio", "0"}), "--ratio");
    check_refused(garage.run({"mark", "job", "--ratio", "nan"}), "--ratio");
    check_refused(garage.run({"mark", "job", "--hz", "5000"}), "--hz");
    check_refused(garage.run({"mark", "job", "--hz", "5000", "300"}), "--hz");
    check_refused(garage.run({"mark", "job", "--ratio", "2", "--comes", "never"}), "--comes");
    check_refused(garage.run({"mark", "job", "--ratio", "2", "--when", "on sundays"}), "--when");
    check_refused(garage.run({"saw", "job", "shiny", "--on", "fan"}), "for or against");
    check_refused(garage.run({"saw", "job", "shiny", "--on", "fan", "--for", "--against"}), "--for");
    check_refused(garage.run({"saw", "job", "shiny", "--for"}), "--on is required");
    check_refused(garage.run({"saw", "job", "shiny", "--on", "moon", "--for"}), "moon");
    check_refused(garage.run({"saw", "job", "", "--on", "fan", "--for"}), "TEXT");
    check_refused(garage.run({"reading", "job", "idle"}), "value");
    check_refused(garage.run({"reading", "job", "idle", "fast"}), "fast");
    check_refused(garage.run({"reading", "job", "idle", "8", "--tolerance", "1"}), "--target");
    check_refused(garage.run({"reading", "job", "idle", "8", "--recording", "r9"}), "r9");
    check_refused(garage.run({"card", "job", "--date", "soon"}), "--date");
    check_refused(garage.run({"card"}), "name a job");
    check_refused(garage.run({"states", "no job", "--json"}), "no such job", 1);
    check_refused(garage.run({"verify", "no job", "--json"}), "no job", 1);
    check_refused(garage.run({}), "subcommand");
    check_refused(garage.run({"dance"}), "subcommand");
    CHECK(text_of(garage.folder() / "job/job.json") == before);
}

TEST_CASE("control characters in names do not reach the terminal") {
    const Garage garage;
    garage.fill();
    const auto said = garage.done({"add", "job", "c.wav", "--state", "evil\x1b[31m\nname", "--note", "a\tb"});
    CHECK_FALSE(says(said, "\x1b"));
    CHECK(says(said, "New state \"evil [31m name\""));
}

TEST_CASE("a job recovered from damage is used, and that is said") {
    const Garage garage;
    garage.fill();
    garage.folder().put("job/job.json", "{");
    const auto said = garage.run({"states", "job", "--json"});
    CHECK(said.code == 0);
    CHECK(says(said.err, "job.json is damaged"));
    CHECK(Json::parse(said.out)["states"].size() == 1);
}

TEST_CASE("the version names the program and its libraries") {
    const Garage garage;
    const auto said = garage.done({"--version"});
    CHECK(said.starts_with("cranknote "));
    for (const char* library : {"libsndfile", "libavformat", "PortAudio", "libcrypto", "CLI11"})
        CHECK(says(said, library));
}
