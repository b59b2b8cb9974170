#include "job/edit.hpp"

#include <catch2/catch.hpp>

#include "job/json.hpp"
#include "job/scratch.hpp"
#include "job/small_layout.hpp"
#include "units/error.hpp"

namespace cranknote::job {
using test::mentions;

namespace {

Layout layout() { return parse_layout(test::small_layout, "small"); }

/// An addition of a file whose content is its name.
Addition of(const std::string& state, const std::string& file = "a.wav") {
    Addition a;
    a.state = state;
    a.recording.file = "recordings/" + file;
    a.recording.sha256 = sha256_of(file);
    return a;
}

Job with_as_found() {
    Job job;
    job.id = "00";
    enter_recording(job, layout(), of("as found"));
    return job;
}

/// The words of the wrong call; the job must be as it was.
std::string wrong(Job job, const Addition& a) {
    const std::string before = to_json(job);
    try {
        enter_recording(job, layout(), a);
    } catch (const Error& e) {
        CHECK(e.kind == Error::Kind::wrong_call);
        CHECK(to_json(job) == before);
        return e.what();
    }
    return "no error";
}

std::vector<std::string> state_names(const Job& job) {
    std::vector<std::string> names;
    for (const auto& s : job.states) names.push_back(s.name);
    return names;
}

using Names = std::vector<std::string>;

}  // namespace

TEST_CASE("the first state is as found") {
    CHECK(mentions(wrong({}, of("fan off")), "first state of a job is \"as found\""));
    Job job;
    const auto u = enter_recording(job, layout(), of("as found"));
    CHECK(u.new_state);
    CHECK(u.id == "r1");
    CHECK(job.recordings.at(0).state == "as found");
}

TEST_CASE("a state knows what is off, what stands still by it, and how to run it") {
    Job job = with_as_found();
    auto a = of("belt off", "b.wav");
    a.off = {"fan belt off"};
    const auto u = enter_recording(job, layout(), a);
    CHECK(job.states.at(1).off == Names{"fan belt off"});  // as typed
    CHECK(u.off == Names{"fan", "fan belt"});
    CHECK(u.still == Names{"fan", "fan belt", "water pump"});
    CHECK(mentions(u.caution, "from cold"));
    CHECK(u.place == 1);
}

TEST_CASE("a state's name with another off is a wrong call") {
    Job job = with_as_found();
    auto a = of("belt off", "b.wav");
    a.off = {"fan belt off"};
    enter_recording(job, layout(), a);
    auto again = of("belt off", "c.wav");
    again.off = {"fan belt"};
    CHECK(mentions(wrong(job, again), "in state \"belt off\" is off: fan, fan belt; this says: fan belt"));
    again.off = {};
    CHECK(mentions(wrong(job, again), "this says: nothing"));
    again.off = {"fan", "fan belt"};  // the same things in other words
    CHECK_FALSE(enter_recording(job, layout(), again).new_state);
    CHECK(job.states.size() == 2);
}

TEST_CASE("a state's name with another check is a wrong call") {
    Job job = with_as_found();
    auto a = of("lock", "b.wav");
    a.with = {"lock"};
    enter_recording(job, layout(), a);
    CHECK(mentions(wrong(job, of("lock", "c.wav")), "was recorded with: lock; this says: nothing"));
    auto ac = of("as found", "c.wav");
    ac.with = {"ac-on"};
    CHECK(mentions(wrong(job, ac), "--with"));
}

TEST_CASE("a repair begins with a state of its own") {
    Job job = with_as_found();
    auto a = of("as found", "b.wav");
    a.repaired = true;
    CHECK(mentions(wrong(job, a), "before any repair"));
    a = of("repaired", "b.wav");
    a.repaired = true;
    a.repaired_what = "fan belt";
    enter_recording(job, layout(), a);
    CHECK(job.states.at(1).repaired);
    CHECK(job.states.at(1).repaired_what == "fan belt");
    enter_recording(job, layout(), of("repaired", "c.wav"));  // "from that state on": not to be said again
    enter_recording(job, layout(), of("road test", "d.wav"));
    a = of("road test", "e.wav");
    a.repaired = true;
    CHECK(mentions(wrong(job, a), "recorded before the repair"));
    a = of("repaired", "f.wav");
    a.repaired = true;
    a.repaired_what = "fan";
    CHECK(mentions(wrong(job, a), "another thing was repaired: fan belt"));
}

TEST_CASE("names and checks are those of the layout and of the list, with the nearest one offered") {
    const Job job = with_as_found();
    auto a = of("x", "b.wav");
    a.off = {"fan belts"};
    CHECK(mentions(wrong(job, a), "fan belt"));
    a = of("x", "b.wav");
    a.with = {"lok"};
    CHECK(mentions(wrong(job, a), "--with: there is no \"lok\" (did you mean \"lock\"?)"));
    a = of("x", "b.wav");
    a.recording.near = "upper covr";
    CHECK(mentions(wrong(job, a), "--near: there is no \"upper covr\" (did you mean \"upper cover\"?)"));
    a.recording.near = "fan belt off";
    CHECK(mentions(wrong(job, a), "is a pull, not a place"));
    a.recording.near = "valve train";
    CHECK(wrong(job, a) == "no error");
    a = of("x", "b.wav");
    a.repaired = true;
    a.repaired_what = "gearbox";
    CHECK(mentions(wrong(job, a), "--repaired: there is no \"gearbox\""));
    CHECK(mentions(wrong(job, of("", "b.wav")), "needs a name"));
}

TEST_CASE("nothing is recorded as run without what must never be off") {
    auto a = of("timing off", "b.wav");
    a.off = {"timing belt"};
    const std::string error = wrong(with_as_found(), a);
    CHECK(mentions(error, "an engine must not run like this"));
    CHECK(mentions(error, "timing belt"));
}

TEST_CASE("states are in order of time where times are known") {
    Job job = with_as_found();
    auto noon = of("belt off", "b.wav"), morning = of("lock", "c.wav"), unknown = of("mist", "d.wav"),
         evening = of("refit", "e.wav");
    noon.recording.at = moment_from("2026-03-01T12:00Z");
    morning.recording.at = moment_from("2026-03-01T08:00Z");
    evening.recording.at = moment_from("2026-03-01T18:00Z");
    enter_recording(job, layout(), noon);
    const auto u = enter_recording(job, layout(), morning);
    CHECK(u.place == 1);
    REQUIRE(u.remarks.size() == 1);
    CHECK(mentions(u.remarks[0], "before \"belt off\""));
    enter_recording(job, layout(), unknown);
    enter_recording(job, layout(), evening);
    CHECK(state_names(job) == Names{"as found", "lock", "belt off", "mist", "refit"});
}

TEST_CASE("one stretch is one recording, several stretches of a file are several") {
    Job job = with_as_found();
    CHECK(mentions(wrong(job, of("as found")), "has this sound already: r1"));
    auto a = of("as found");
    a.recording.from = Seconds{0};
    a.recording.to = Seconds{10};
    const auto u = enter_recording(job, layout(), a);
    REQUIRE(u.remarks.size() == 1);
    CHECK(mentions(u.remarks[0], "overlaps with r1"));
    auto b = of("lock");
    b.with = {"lock"};
    b.recording.from = Seconds{10};
    b.recording.to = Seconds{20};
    CHECK(enter_recording(job, layout(), b).remarks.size() == 1);  // with r1, not with 0 to 10 s
    b.recording.to = Seconds{10};
    CHECK(mentions(wrong(job, b), "ends before it begins"));
}

TEST_CASE("a complaint is a finding, a ratio or a band; marked again, its words are replaced") {
    Job job;
    Complaint c;
    CHECK_THROWS_AS(mark(job, c), Error);
    c.ratio = Ratio{2.84};
    c.comes = Comes::sometimes;
    CHECK(mark(job, c) == 1);
    c.when = {"cold", "under load"};
    CHECK(mark(job, c) == 1);
    CHECK(job.complaints.size() == 1);
    CHECK(job.complaints[0].when.size() == 2);
    Complaint other;
    other.finding = "f2";
    CHECK(mark(job, other) == 2);
    other.when = {"on sundays"};
    CHECK_THROWS_AS(mark(job, other), Error);
}

TEST_CASE("what was seen and measured is entered with its names checked") {
    Job job = with_as_found();
    enter_saw(job, layout(), Saw{"shiny edge", "upper cover", true, {}, ""});
    CHECK(job.saw.size() == 1);
    CHECK_THROWS_AS(enter_saw(job, layout(), (Saw{"shiny edge", "lower cover", true, {}, ""})), Error);
    CHECK_THROWS_AS(enter_saw(job, layout(), (Saw{"", "upper cover", true, {}, ""})), Error);
    Reading reading{"idle speed", 815, "rpm", 820, 40, "r1", {}, ""};
    enter_reading(job, reading);
    CHECK(job.readings.size() == 1);
    reading.recording = "r9";
    CHECK_THROWS_AS(enter_reading(job, reading), Error);
    reading.recording.reset();
    reading.value = std::nan("");
    CHECK_THROWS_AS(enter_reading(job, reading), Error);
    enter_worked_on(job, layout(), {"fan", "fan belt", "fan"});
    CHECK(job.worked_on == Names{"fan", "fan belt"});
    CHECK_THROWS_AS(enter_worked_on(job, layout(), {"gearbox"}), Error);
}

}  // namespace cranknote::job
