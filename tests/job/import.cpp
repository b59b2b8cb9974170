#include "job/import.hpp"

#include <catch2/catch.hpp>

#include "cli/sound.hpp"
#include "job/import_names.hpp"
#include "job/scratch.hpp"
#include "job/small_layout.hpp"
#include "units/error.hpp"

namespace cranknote::job {
using test::put_tone;
using test::Scratch;
namespace fs = std::filesystem;

namespace {

Layout small() { return parse_layout(std::string(test::small_layout), "small.toml"); }

FoundSound sound(const std::string& name, int minute, double seconds = 12) {
    FoundSound f;
    f.file = name;
    f.duration = Seconds{seconds};
    f.began = *moment_from("2026-03-01T10:00:00Z") + std::chrono::minutes{minute};
    f.time_from_container = true;
    f.usable = true;
    f.sha256 = sha256_of(name);
    return f;
}

std::vector<Suggestion> suggested(const std::vector<FoundSound>& sounds, const Job* job = nullptr) {
    const Layout layout = small();
    return suggest_states({sounds, 0, true}, job, &layout);
}

}  // namespace

TEST_CASE("a name that a person gave is told from a phone's") {
    for (const char* name : {"fan off", "as found, cold", "REC_0012 fan belt off", "Riemen ab"}) {
        INFO(name);
        CHECK(is_telling(name));
    }
    for (const char* name :
         {"REC0012", "20260301_103000", "VID_20260301", "New Recording 7", "Voice 003", "", "a1"}) {
        INFO(name);
        CHECK_FALSE(is_telling(name));
    }
}

TEST_CASE("a name's words say what was off, with what, how warm") {
    const Layout layout = small();
    auto t = told_by("fan belt off, cold (2)", &layout);
    CHECK(t.addition.state == "fan belt off");
    CHECK(t.addition.off == std::vector<std::string>{"fan belt off"});  // the layout's pull
    CHECK(std::get<Warmth>(*t.addition.recording.coolant) == Warmth::cold);
    CHECK(t.off_known);
    t = told_by("upper_cover off", &layout);
    CHECK(t.addition.off == std::vector<std::string>{"upper cover"});
    t = told_by("full lock, warm", &layout);
    CHECK(t.addition.state == "full lock");
    CHECK(t.addition.with == std::vector<std::string>{"lock"});
    CHECK(std::get<Warmth>(*t.addition.recording.coolant) == Warmth::warm);
    t = told_by("ac on", &layout);
    CHECK(t.addition.with == std::vector<std::string>{"ac-on"});
    t = told_by("gizmo off", &layout);
    CHECK_FALSE(t.off_known);
    CHECK_FALSE(told_by("fancy off", &layout).off_known);
    t = told_by("belt realigned", &layout);
    CHECK(t.addition.repaired);
    CHECK(told_by("as found again", &layout).addition.state == "as found");
}

TEST_CASE("states are suggested by names, else by the order and the time between") {
    const auto s =
        suggested({sound("REC1", 0), sound("REC2", 1), sound("fan belt off", 20), sound("REC4", 21),
                   sound("REC5", 60), sound("fan off 2", 80), sound("gizmo off", 90)});
    REQUIRE(s.size() == 7);
    CHECK(s[0].addition.state == "as found");
    CHECK(s[0].why_not.empty());
    CHECK(s[0].addition.recording.at == When{*moment_from("2026-03-01T10:00:00Z")});
    CHECK(s[1].addition.state == "as found");  // a minute later
    CHECK(s[2].addition.state == "fan belt off");
    CHECK(s[2].addition.off == std::vector<std::string>{"fan belt off"});
    CHECK(s[3].addition.state == "fan belt off");
    CHECK(s[3].addition.off == s[2].addition.off);
    CHECK(s[4].addition.state == "state 3");
    CHECK(s[4].why_not == "nobody said what was off");
    CHECK(s[5].addition.state == "fan off");
    CHECK(s[5].addition.off == std::vector<std::string>{"fan"});
    CHECK(s[5].why_not.empty());
    CHECK_FALSE(s[6].why_not.empty());
}

TEST_CASE("what is of no use, there already or a voice message is not for adding") {
    auto broken = sound("REC0", 0), copy = sound("REC1", 1), voice = sound("REC2", 2),
         poor = sound("REC3", 3);
    broken.trouble = "it breaks off";
    copy.same_as = "r1";
    voice.voice_message = true;
    poor.usable = false;
    const auto s = suggested({broken, copy, voice, poor, sound("REC4", 4)});
    CHECK(s[0].why_not == "it breaks off");
    CHECK(s[1].why_not == "the same as r1");
    CHECK(s[2].why_not.find("Ask for the file itself") != std::string::npos);
    CHECK(s[3].why_not == "not usable");
    CHECK(s[4].addition.state == "as found");
    CHECK(s[4].why_not.empty());
}

TEST_CASE("a job that has states goes on with them") {
    Job job;
    job.states = {State{"as found", {}, {}, false, "", ""},
                  State{"bare", {"fan belt off"}, {}, false, "", ""}};
    const auto s = suggested({sound("bare, cold", 0), sound("REC1", 30)}, &job);
    CHECK(s[0].addition.state == "bare");
    CHECK(s[0].addition.off == std::vector<std::string>{"fan belt off"});
    CHECK(s[1].addition.state == "state 3");
}

TEST_CASE("a job does not begin with something off unasked") {
    const auto s = suggested({sound("fan off", 0), sound("REC1", 30)});
    CHECK(s[0].addition.state == "as found");
    CHECK_FALSE(s[0].why_not.empty());
    CHECK(s[1].addition.state == "as found");
    CHECK(s[1].why_not.empty());
}

TEST_CASE("where one file is called as found, no other stands in for it") {
    const auto s = suggested({sound("warm", 0), sound("as found, cold", 10)});
    CHECK(s[0].addition.state == "warm");
    CHECK(s[0].why_not == "a job begins with \"as found\", and this was made before it");
    CHECK(s[1].addition.state == "as found");
    CHECK(s[1].why_not.empty());
}

TEST_CASE("names of voice messages are known, whatever stands between the words") {
    for (const char* name : {"PTT-20260301-0012", "voice_message 3", "Voice-Message", "Sprachnachricht"})
        CHECK(is_voice_message_name(name));
    for (const char* name : {"Voice 003", "option", "message from the fan", "as found"})
        CHECK_FALSE(is_voice_message_name(name));
}

TEST_CASE("a mess of files is looked through: sounds in order of time, copies, broken ones, other files") {
    const Scratch scratch;
    fs::create_directories(scratch / "card/DCIM/100");
    fs::create_directories(scratch / "card/.hidden");
    const auto later = put_tone(scratch / "card/a.wav", 200, 3);
    const auto earlier = put_tone(scratch / "card/DCIM/100/b.wav", 300, 3);
    const auto copy = put_tone(scratch / "card/DCIM/100/c.wav", 200, 3);
    put_tone(scratch / "card/.hidden/d.wav", 250, 3);
    scratch.put("card/broken.m4a", "no sound");
    scratch.put("card/photo.jpg", "\xff\xd8\xff");
    fs::create_symlink(later, scratch / "card/link.wav");
    const auto now = fs::file_time_type::clock::now();
    fs::last_write_time(earlier, now - std::chrono::hours{2});
    fs::last_write_time(later, now - std::chrono::hours{1});
    fs::last_write_time(scratch / "card/broken.m4a", now - std::chrono::hours{3});
    double last = -1;
    const auto found = look_through(scratch / "card", nullptr, nullptr, [&](double share) {
        CHECK(share >= last);
        last = share;
        return true;
    });
    REQUIRE(found);
    REQUIRE(found->sounds.size() == 4);
    CHECK(found->others == 1);
    CHECK(found->all);
    CHECK(found->sounds[0].file.filename() == "broken.m4a");
    CHECK_FALSE(found->sounds[0].trouble.empty());
    CHECK(found->sounds[1].file == earlier);
    CHECK(found->sounds[2].file == later);
    CHECK(found->sounds[3].file == copy);
    CHECK(found->sounds[3].same_as == "a.wav");
    CHECK(found->sounds[1].duration == Seconds{3.0});
    // The file's time is its end: it began three seconds earlier, to the second.
    const auto ended = facts_of(earlier)->modified;
    CHECK(ended - found->sounds[1].began == std::chrono::seconds{3});
    CHECK_FALSE(found->sounds[1].time_from_container);
    CHECK_FALSE(look_through(scratch / "card", nullptr, nullptr, [](double) { return false; }));
    CHECK_THROWS_WITH(look_through(scratch / "nothing", nullptr, nullptr), Catch::Contains("no such folder"));
    CHECK_THROWS_WITH(look_through(later, nullptr, nullptr), Catch::Contains("not a folder"));
}

}  // namespace cranknote::job
