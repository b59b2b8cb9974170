// What was asked for, done to a job on the disk.
#include "desk/session.hpp"

#include <catch2/catch.hpp>

#include "cli/sound.hpp"
#include "job/scratch.hpp"
#include "job/small_layout.hpp"

using namespace cranknote;
using namespace cranknote::test;
namespace ask = cranknote::desk::ask;

namespace {

std::string new_job(const Scratch& scratch) {
    job::Job job;
    job.layout = small_layout;
    const auto path = scratch / "job";
    (void)job::Folder::create(path, job, "test");
    return path.string();
}

}  // namespace

TEST_CASE("a file is added to the state that is next, heard behind, and taken back by undo") {
    const Scratch scratch;
    desk::Session session([] {});
    desk::ViewState view;
    session.open(new_job(scratch), view);
    REQUIRE(session.scene().open);
    CHECK(session.scene().job.recordings.empty());
    const auto sound = put_tone(scratch / "one.wav", 440.0, 3.0).string();
    session.act(ask::AddFiles{{sound}, view.next, std::nullopt}, view);
    INFO(view.said);
    REQUIRE(session.scene().job.recordings.size() == 1);
    CHECK(session.scene().job.states[0].name == "as found");
    session.settle(view);
    REQUIRE(session.scene().heard.size() == 1);
    CHECK(session.scene().heard[0].examined);
    CHECK_FALSE(session.texts().headline.empty());
    // Another program sees it too: it is on the disk, not only on the screen.
    CHECK(job::Folder::open(scratch / "job").job().recordings.size() == 1);
    session.act(ask::Undo{}, view);
    CHECK(session.scene().job.recordings.empty());
    session.act(ask::Redo{}, view);
    CHECK(session.scene().job.recordings.size() == 1);
    session.settle(view);
}

TEST_CASE("what is off in the next state is written down with the recording") {
    const Scratch scratch;
    desk::Session session([] {});
    desk::ViewState view;
    session.open(new_job(scratch), view);
    session.act(ask::AddFiles{{put_tone(scratch / "a.wav", 300, 3).string()}, view.next, std::nullopt}, view);
    view.next.off = {"fan belt"};
    view.next.warmth = 1;
    view.next.rpm = "820~2";
    session.act(ask::AddFiles{{put_tone(scratch / "b.wav", 310, 3).string()}, view.next, std::nullopt}, view);
    INFO(view.said);
    REQUIRE(session.scene().job.states.size() == 2);
    CHECK(session.scene().job.states[1].name == "fan belt off");
    CHECK(session.scene().job.states[1].off == std::vector<std::string>{"fan belt"});
    const auto& r = session.scene().job.recordings[1];
    REQUIRE(r.rpm);
    CHECK(r.rpm->rpm == Rpm{820});
    CHECK(r.rpm->plus_minus == Rpm{2});
    CHECK(view.next.off == std::set<std::string>{"fan belt"});  // it is still off
    session.act(ask::Saw{"shiny edge", "fan belt", true}, view);
    CHECK(session.scene().job.saw.size() == 1);
    session.settle(view);
    REQUIRE(session.scene().compared);
    CHECK(session.scene().compared->b == 1);
    session.act(ask::WriteNote{}, view);
    session.settle(view);
    session.collect(view);
    INFO(view.said);
    CHECK_FALSE(view.said_is_trouble);
    std::size_t notes = 0;
    for (const auto& e : std::filesystem::directory_iterator(scratch / "job" / "notes"))
        notes += e.file_size() > 1000 ? 1 : 0;
    CHECK(notes == 3);
}

TEST_CASE("troubles are said, not thrown, and change nothing") {
    const Scratch scratch;
    desk::Session session([] {});
    desk::ViewState view;
    session.act(ask::Open{(scratch / "nothing").string()}, view);
    CHECK(view.said_is_trouble);
    session.open(new_job(scratch), view);
    session.act(ask::AddFiles{{(scratch / "missing.wav").string()}, view.next, std::nullopt}, view);
    CHECK(view.said_is_trouble);
    CHECK(session.scene().job.recordings.empty());
    scratch.put("noise.wav", "this is no sound");
    session.act(ask::AddFiles{{(scratch / "noise.wav").string()}, view.next, std::nullopt}, view);
    session.settle(view);
    session.act(ask::KeepLayout{"nonsense"}, view);
    CHECK(view.said_is_trouble);
    CHECK(session.scene().layout.name == "Small");
}

TEST_CASE("a second window can only look at an open job") {
    const Scratch scratch;
    const auto path = new_job(scratch);
    desk::Session first([] {}), second([] {});
    desk::ViewState view;
    first.open(path, view);
    second.open(path, view);
    CHECK(first.scene().read_only.empty());
    CHECK_FALSE(second.scene().read_only.empty());
}

TEST_CASE("a new job is made from a preset and its three answers") {
    const Scratch scratch;
    desk::Session session([] {});
    desk::ViewState view;
    desk::NewJob answers;
    answers.title = "Scrapes/whines";
    answers.toml = small_layout;
    answers.worked_on = {"fan belt"};
    answers.place = (scratch / "jobs").string();
    answers.date = "2026-03-01";
    answers.folder = desk::proposed_folder(answers);
    CHECK(std::filesystem::path(answers.folder).filename() == "2026-03-01 Scrapes-whines");
    session.act(ask::MakeJob{answers}, view);
    INFO(view.new_job.trouble);
    REQUIRE(session.scene().open);
    CHECK(session.scene().job.worked_on == std::vector<std::string>{"fan belt"});
    CHECK(session.scene().job.title == "Scrapes/whines");
}

TEST_CASE("the sound files are hashed behind, and a changed one is told") {
    const Scratch scratch;
    const auto path = new_job(scratch);
    desk::ViewState view;
    {
        desk::Session session([] {});
        session.open(path, view);
        session.act(ask::AddFiles{{put_tone(scratch / "one.wav", 440, 3).string()}, view.next, std::nullopt},
                    view);
        session.settle(view);
    }
    desk::Session session([] {});
    session.open(path, view);
    session.settle(view);
    CHECK(session.scene().originals == "The sound file is as it was added.");
    CHECK_FALSE(session.scene().originals_trouble);
    // The same length and time, another byte: only the hash can see it.
    const auto file = std::filesystem::path(path) / session.scene().job.recordings[0].file;
    const auto time = std::filesystem::last_write_time(file);
    std::filesystem::permissions(file, std::filesystem::perms::owner_write,
                                 std::filesystem::perm_options::add);
    {
        std::fstream bytes(file, std::ios::in | std::ios::out | std::ios::binary);
        bytes.seekp(1000);
        bytes.put('x');
    }
    std::filesystem::last_write_time(file, time);
    session.open(path, view);
    session.settle(view);
    CHECK(session.scene().originals_trouble);
    CHECK(session.scene().originals.find("one.wav") != std::string::npos);
}

TEST_CASE("a reading is in the job and can be taken back") {
    const Scratch scratch;
    desk::Session session([] {});
    desk::ViewState view;
    session.open(new_job(scratch), view);
    job::Reading r;
    r.what = "idle speed";
    r.value = 815;
    session.act(ask::EnterReading{r}, view);
    INFO(view.said);
    REQUIRE(session.scene().job.readings.size() == 1);
    CHECK(session.scene().job.readings[0].at);
    CHECK(session.texts().readings == std::vector<std::string>{"Idle speed 815"});
    session.act(ask::Undo{}, view);
    CHECK(session.scene().job.readings.empty());
}

TEST_CASE("marking a noise keeps what was known on the screen while it is weighed anew") {
    const Scratch scratch;
    desk::Session session([] {});
    desk::ViewState view;
    session.open(new_job(scratch), view);
    session.act(ask::AddFiles{{put_tone(scratch / "a.wav", 300, 3).string()}, view.next, std::nullopt}, view);
    session.settle(view);
    REQUIRE(session.scene().compared);
    session.act(ask::Saw{"shiny edge", "fan belt", true}, view);
    CHECK(session.scene().compared);  // at once, not only when it is settled
    session.settle(view);
    CHECK(session.scene().analysis);
}

TEST_CASE("a recording through time is drawn where it has a crank speed, and says so where it has none") {
    const Scratch scratch;
    desk::Session session([] {});
    desk::ViewState view;
    session.open(new_job(scratch), view);
    session.act(ask::AddFiles{{put_tone(scratch / "a.wav", 300, 3).string()}, view.next, std::nullopt}, view);
    session.act(ask::ShowThroughTime{"r1"}, view);  // before it is heard: in its turn
    session.settle(view);
    REQUIRE(session.scene().through_time);
    CHECK(session.scene().through_time->recording == "r1");
    CHECK(session.scene().through_time->trouble.empty() ==
          session.scene().heard[0].examined->summary.speed.mean.has_value());
}
