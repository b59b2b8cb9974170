#include <cmath>
#include <nlohmann/json.hpp>

#include "audio/write.hpp"
#include "cli/idle.hpp"
#include "cli/run.hpp"
#include "speed/engine_sound.hpp"
#include "within.hpp"

using namespace cranknote::test;
using nlohmann::json;

TEST_CASE("speed prints the contract's JSON") {
    const Folder folder;
    write_idle(folder / "idle.wav");
    const auto r =
        cranknote::test::cranknote("speed " + (folder / "idle.wav") + " --cylinders 4 --json --at 4.5");
    REQUIRE(r.code == 0);
    CHECK(r.err.empty());
    const auto j = json::parse(r.out);
    CHECK(j["schema"] == 1);
    CHECK(j["sample_rate_hz"] == 16000.0);
    CHECK(j["used_s"] == json::array({0.0, 10.0}));
    CHECK(j["speed"]["source"] == "sound");
    CHECK_THAT(j["speed"]["rpm"].get<double>(), within(823.0, 0.8, "0.1 %: the target for the median"));
    CHECK(j["speed"]["interval"][0].get<double>() <= 823.0);
    CHECK(j["speed"]["interval"][1].get<double>() >= 823.0);
    CHECK(j["speed"]["track"].size() > 10);
    CHECK_THAT(j["at"]["rpm"].get<double>(), within(823.0, 2.5, "0.3 %: the target for the track"));
}

TEST_CASE("speed says it in words, with the track in one line, and draws it") {
    const Folder folder;
    write_idle(folder / "idle.wav");
    const auto r =
        cranknote::test::cranknote("speed " + (folder / "idle.wav") +
                                   " --cylinders 4 --from 1 --to 9 --figure " + (folder / "track.png"));
    REQUIRE(r.code == 0);
    const auto out = with_plain_spaces(r.out);
    CHECK(out.find("Crank speed 823 rpm (from the sound).") != std::string::npos);
    CHECK(out.find("▄") != std::string::npos);
    CHECK(out.find("Used: 1.0 s to 9.0 s of 10.0 s.") != std::string::npos);
    CHECK(file_text(folder / "track.png").starts_with("\x89PNG"));
}

TEST_CASE("A stretch of silence cannot tell, and that is no failure") {
    const Folder folder;
    cranknote::Recording silent;
    silent.rate = cranknote::SampleRate{8000};
    silent.channels.emplace_back(40000, 0.0F);
    cranknote::write_wav(folder / "silence.wav", silent);
    const auto r = cranknote::test::cranknote("speed " + (folder / "silence.wav") + " --json");
    REQUIRE(r.code == 0);
    const auto j = json::parse(r.out);
    CHECK(j["speed"]["rpm"].is_null());
    CHECK(j["speed"]["confidence"] == 0.0);
}

TEST_CASE("Wrong calls end with 2, one line on stderr, nothing on stdout") {
    const Folder folder;
    write_idle(folder / "idle.wav");
    const std::string file = folder / "idle.wav";
    for (const std::string call :
         {"--rpm -5", "--rpm 80000", "--rpm 820~", "--rpm 820~0", "--rpm 820~900", "--rpm fast",
          "--rpm 8,2e2", "--cylinders 0", "--cylinders 17", "--cylinders four", "--from -1",
          "--from 5 --to 5", "--from 6 --to 2", "--at 99", "--figure track.gif",
          "--cylinders 4 --layout x.toml", "--rpm 820 --rpm 830", "--nonsense"}) {
        INFO(call);
        const auto r = cranknote::test::cranknote("speed " + file + " " + call + " --json");
        CHECK(r.code == 2);
        CHECK(r.out.empty());
        CHECK(std::count(r.err.begin(), r.err.end(), '\n') == 1);
        CHECK(r.err.starts_with("cranknote: "));
    }
    CHECK(cranknote::test::cranknote("speed").code == 2);
}

TEST_CASE("What cannot be read ends with 1 and names the file") {
    const auto r = cranknote::test::cranknote("speed /nowhere/at/all.wav --json");
    CHECK(r.code == 1);
    CHECK(r.out.empty());
    CHECK(r.err.find("/nowhere/at/all.wav") != std::string::npos);
}

TEST_CASE("A tag of - is no tag, and a tag with its uncertainty is used") {
    const Folder folder;
    write_idle(folder / "idle.wav");
    const auto none = json::parse(
        cranknote::test::cranknote("speed " + (folder / "idle.wav") + " --cylinders 4 --json --rpm -").out);
    CHECK(none["speed"]["source"] == "sound");
    const auto tag = json::parse(
        cranknote::test::cranknote("speed " + (folder / "idle.wav") + " --cylinders 4 --json --rpm 820~40")
            .out);
    CHECK(tag["speed"]["source"] == "entered");
    CHECK_THAT(tag["speed"]["rpm"].get<double>(), within(823.0, 0.8, "0.1 %: the sound refines the tag"));
}
