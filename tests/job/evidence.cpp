#include "job/evidence.hpp"

#include <catch2/catch.hpp>

#include "job/edit.hpp"
#include "job/folder.hpp"
#include "job/scratch.hpp"
#include "job/small_layout.hpp"
#include "units/error.hpp"

namespace cranknote::job {
using test::Scratch;

namespace {

using Names = std::vector<std::string>;

Addition addition_of(const std::string& state, const std::string& file) {
    Addition a;
    a.state = state;
    a.recording.file = "recordings/" + file;
    a.recording.sha256 = sha256_of(file);
    return a;
}

}  // namespace

TEST_CASE("a job's layout is its own, or the typical one, or said to be missing") {
    Job job;
    CHECK_THROWS_AS(layout_of(job), Error);
    job.cylinders = 6;
    CHECK(layout_of(job).engine.cylinders == 6);
    job.layout = test::small_layout;
    CHECK(layout_of(job).name == "Small");
    job.layout = "schema = 1\nname = 7\n";
    CHECK_THROWS_WITH(layout_of(job), Catch::Contains("layout.toml:2"));
}

TEST_CASE("a job becomes evidence: states with what stands still, recordings with their conditions") {
    const Scratch scratch;
    Job job;
    job.layout = test::small_layout;
    const Layout layout = layout_of(job);
    auto cold = addition_of("as found", "a.wav");
    cold.recording.coolant = Warmth::cold;
    cold.recording.rpm = SpeedTag{Rpm{820}, Rpm{2}};
    enter_recording(job, layout, cold);
    auto off = addition_of("belt off", "b.wav");
    off.off = {"fan belt off"};
    off.recording.coolant = Celsius{20};
    enter_recording(job, layout, off);
    auto warm = addition_of("as found", "c.wav");
    warm.recording.coolant = Celsius{85};
    warm.recording.placement = "tripod";
    enter_recording(job, layout, warm);
    auto repaired = addition_of("repaired", "d.wav");
    repaired.repaired = true;
    repaired.repaired_what = "fan belt";
    repaired.recording.placement = "tripod";
    enter_recording(job, layout, repaired);
    auto later = addition_of("road test", "c.wav");  // another stretch of c.wav
    later.recording.from = Seconds{10};
    enter_recording(job, layout, later);
    enter_saw(job, layout, Saw{"shiny edge", "upper cover", true, {}, ""});

    const Evidence e = evidence_of(scratch.path(), job);
    REQUIRE(e.states.size() == 4);
    CHECK(e.states[1].off == Names{"fan belt off"});
    CHECK(e.states[1].still == Names{"fan", "fan belt", "water pump"});
    CHECK(e.states[1].cold);
    CHECK(e.states[1].from_cold_seconds);
    CHECK_FALSE(e.states[0].cold);  // one of its recordings is warm
    CHECK_FALSE(e.states[1].repaired);
    CHECK(e.states[2].repaired);
    CHECK(e.states[3].repaired);  // from that state on
    CHECK(e.states[2].repaired_what == "fan belt");
    CHECK(e.states[3].repaired_what.empty());
    REQUIRE(e.recordings.size() == 5);
    CHECK(e.recordings[0].tag->rpm == Rpm{820});
    CHECK(e.recordings[0].file == scratch / "recordings/a.wav");
    CHECK(e.recordings[0].cold == true);
    CHECK(e.recordings[2].cold == false);
    CHECK_FALSE(e.recordings[3].cold.has_value());
    CHECK(e.recordings[1].state == 1);
    CHECK(e.recordings[2].placement == e.recordings[3].placement);
    CHECK(e.recordings[4].placement == e.recordings[2].placement);  // the same file
    CHECK(e.recordings[0].placement != e.recordings[1].placement);
    CHECK(e.saw.size() == 1);
}

TEST_CASE("unlike conditions are told apart, unknown ones are not called unlike") {
    Recording a, b;
    CHECK(unlike(a, b).empty());
    a.coolant = Warmth::cold;
    CHECK(unlike(a, b).empty());
    b.coolant = Celsius{85};
    REQUIRE(unlike(a, b).size() == 1);
    CHECK(unlike(a, b)[0] == "Coolant was cold in one and 85 °C in the other.");
    b.coolant = Celsius{20};
    CHECK(unlike(a, b).empty());
    a.since_start = Seconds{5};
    b.since_start = Seconds{60};
    CHECK(unlike(a, b).size() == 1);
    a.coolant = b.coolant = Warmth::warm;  // warm, the seconds do not matter
    CHECK(unlike(a, b).empty());
    a.loads = {"headlamps"};
    a.near = "fan";
    CHECK(unlike(a, b).size() == 2);
    a.coolant = Celsius{80};
    b.coolant = Celsius{96};
    CHECK(unlike(a, b).size() == 3);
}

TEST_CASE("a sister engine is found by path and id, and nothing else is taken for it") {
    const Scratch scratch;
    Like like;
    {
        auto other = Folder::create(scratch / "old job", {});
        like = Like{"old job", other.job().id, ""};
        (void)Folder::create(scratch / "new job", {});
    }
    CHECK(find_sister(scratch / "new job", like) == scratch / "old job");
    like.id = "something else";
    CHECK_FALSE(find_sister(scratch / "new job", like).has_value());
    like.path = "gone";
    CHECK_FALSE(find_sister(scratch / "new job", like).has_value());
}

}  // namespace cranknote::job
