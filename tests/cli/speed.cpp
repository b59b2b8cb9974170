#include <cmath>
#include <nlohmann/json.hpp>

#include "audio/write.hpp"
#include "cli/idle.hpp"
#include "cli/run.hpp"
#include "speed/clamp_sound.hpp"
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

TEST_CASE("speed says it in words and draws it; the line of blocks is for a terminal only") {
    const Folder folder;
    write_idle(folder / "idle.wav");
    const auto r =
        cranknote::test::cranknote("speed " + (folder / "idle.wav") +
                                   " --cylinders 4 --from 1 --to 9 --figure " + (folder / "track.png"));
    REQUIRE(r.code == 0);
    const auto out = with_plain_spaces(r.out);
    CHECK(out.find("Crank speed 823 rpm (from the sound).") != std::string::npos);
    CHECK(out.find("▄") == std::string::npos);
    CHECK(out.find("Used: 1.0 s to 9.0 s of 10.0 s.") != std::string::npos);
    CHECK(file_text(folder / "track.png").starts_with("\x89PNG"));
    // `script` gives the program a terminal of its own.
    const std::string call = std::string(CRANKNOTE_PROGRAM) + " speed " + (folder / "idle.wav");
    REQUIRE(std::system(
                ("script -qec '" + call + "' /dev/null >" + (folder / "typed") + " </dev/null").c_str()) ==
            0);
    CHECK(file_text(folder / "typed").find("▄") != std::string::npos);
}

TEST_CASE("A moment at which the engine does not run is an answer, one outside the file a wrong call") {
    const Folder folder;
    EngineSound e;
    e.seconds = 8.0;
    cranknote::Recording r;
    r.rate = cranknote::SampleRate{e.rate};
    Noise dice(8);
    std::vector<float> x(static_cast<std::size_t>(3.0 * e.rate));
    for (auto& v : x) v = static_cast<float>(0.002 * dice.normal());
    const auto runs = engine_sound(e, steady(823.0));
    x.insert(x.end(), runs.begin(), runs.end());
    r.channels.push_back(x);
    const std::string file = folder / "start.wav";
    cranknote::write_wav(file, r);
    const auto at = [&](const std::string& typed) {
        return cranknote::test::cranknote("speed " + file + " --cylinders 4 --at " + typed);
    };
    const auto before = at("0.5");
    CHECK(before.code == 0);
    CHECK(with_plain_spaces(before.out).find("At 0.5 s: cannot tell: engine not running at 0.5 s\n") !=
          std::string::npos);
    const auto j = json::parse(at("0.5 --json").out);
    CHECK(j["at"]["rpm"].is_null());
    CHECK(j["at"]["why"] == "engine not running at 0.5 s");
    CHECK(with_plain_spaces(at("7").out).find("At 7.0 s: 823 rpm") != std::string::npos);
    // The stretch is typed, the moment lies outside it, but in the file.
    const auto elsewhere = at("4 --from 6 --to 10");
    CHECK(elsewhere.code == 0);
    CHECK(elsewhere.out.find("cannot tell: only 6.0 s to 10.0 s was read, not 4.0 s") != std::string::npos);
    // With a stretch typed, what is said of starting is still in seconds of the file.
    const auto shifted = at("1.5 --from 1 --json");
    CHECK(json::parse(shifted.out)["at"]["why"] == "engine not running at 1.5 s");
    CHECK(shifted.out.find("The engine is off until 3.") != std::string::npos);
    const auto outside = at("11.5");
    CHECK(outside.code == 2);
    CHECK(outside.out.empty());
    CHECK(outside.err.find("only 11.0 s long") != std::string::npos);
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

TEST_CASE("A pickup on the second channel gives the speed and the ring of cylinders") {
    const Folder folder;
    EngineSound e;
    e.rate = clamp_rate, e.unlike = 0.0, e.firing_deg = {10.0, 190.0, 550.0};  // the third does not fire
    cranknote::Recording r;
    r.rate = cranknote::SampleRate{e.rate};
    r.channels = {engine_sound(e, steady(806.0)), clamp_sound({}, steady(806.0))};
    cranknote::write_wav(folder / "two.wav", r);
    const std::string file = folder / "two.wav";
    const auto run = cranknote::test::cranknote(
        "speed " + file + " --cylinders 4 --pickup right --pulses 1/2 --json --figure " +
        (folder / "ring.svg"));
    REQUIRE(run.code == 0);
    const auto j = json::parse(run.out);
    CHECK(j["speed"]["source"] == "pickup");
    CHECK_THAT(j["speed"]["rpm"].get<double>(), within(806.0, 0.1, "two samples at the ends"));
    REQUIRE(j["speed"]["evenness"]["cylinders"].size() == 4);
    CHECK(j["speed"]["evenness"]["cylinders"][2]["level_db"].get<double>() < -3.0);
    CHECK(j["speed"]["evenness"]["cylinders"][2]["cylinder"].is_null());  // not said whose lead it is
    CHECK(file_text(folder / "ring.svg").find("How strongly each firing comes") != std::string::npos);
    // The caution stands wherever the second channel is chosen.
    const auto help = cranknote::test::cranknote("speed --help").out;
    CHECK(help.find("WARNING") != std::string::npos);
    CHECK(help.find("hundreds of") != std::string::npos);
    for (const std::string call : {"--pickup right --pulses 1/3", "--pickup right --pulses 99", "--pulses 1",
                                   "--pickup right --cylinders 4 --pickup-cylinder 5"}) {
        INFO(call);
        const auto wrong = cranknote::test::cranknote("speed " + file + " " + call);
        CHECK(wrong.code == 2);
        CHECK(wrong.out.empty());
    }
    write_idle(folder / "idle.wav");
    CHECK(cranknote::test::cranknote("speed " + (folder / "idle.wav") + " --pickup left").code == 2);
    CHECK(cranknote::test::cranknote("speed " + file + " --pickup /nowhere.wav").code == 1);
}

TEST_CASE("What a tag settled and whose numbers stand is said") {
    const Folder folder;
    write_idle(folder / "idle.wav");
    const auto j = json::parse(
        cranknote::test::cranknote("speed " + (folder / "idle.wav") + " --cylinders 4 --json --rpm 850~5")
            .out);
    CHECK(j["speed"]["source"] == "entered");
    CHECK(j["speed"]["mean_from"] == "sound");
    CHECK(j["speed"]["tag"]["rpm"] == 850.0);
    CHECK(j["speed"]["remarks"][0] == "Tag 850 ± 5, sound says 823: 3.2 % apart.");
    const auto words =
        cranknote::test::cranknote("speed " + (folder / "idle.wav") + " --cylinders 4 --rpm 820~40").out;
    CHECK(with_plain_spaces(words).find("which multiple,") != std::string::npos);
}
