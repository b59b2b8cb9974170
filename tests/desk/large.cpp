// A job of 200 recordings.
#include <catch2/catch.hpp>
#include <chrono>

#include "cli/sound.hpp"
#include "desk/session.hpp"
#include "job/edit.hpp"
#include "job/evidence.hpp"
#include "job/scratch.hpp"
#include "job/small_layout.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

/// Forty files of five stretches each, twenty states.
void make_large_job(const Scratch& scratch) {
    job::Job job;
    job.layout = small_layout;
    (void)job::Folder::create(scratch / "job", job, "test");
    auto folder = job::Folder::open(scratch / "job", {job::Access::change, "test", 0.0});
    const auto layout = job::layout_of(job);
    auto next = folder.job();
    for (int i = 0; i < 200; ++i) {
        const std::string name = "recordings/" + std::to_string(i / 5) + ".wav";
        if (i % 5 == 0) put_tone(scratch / "job" / name, 200.0 + i, 5.0);
        job::Addition a;
        a.state = i < 10 ? "as found" : "state " + std::to_string(i / 10);
        if (i >= 10) a.with = {"lock"};
        a.recording.file = name;
        a.recording.sha256 = std::string(62, '0') + std::to_string(10 + i / 5);
        a.recording.from = Seconds{static_cast<double>(i % 5)};
        a.recording.to = Seconds{static_cast<double>(i % 5) + 1.0};
        job::enter_recording(next, layout, a);
    }
    folder.save(std::move(next), "made a large job");
}

}  // namespace

TEST_CASE("a job of 200 recordings is open within a second, before anything of it is heard") {
    const Scratch scratch;
    make_large_job(scratch);
    desk::Session session([] {});
    desk::ViewState view;
    const auto from = std::chrono::steady_clock::now();
    session.open((scratch / "job").string(), view);
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - from;
    REQUIRE(session.scene().job.recordings.size() == 200);
    CHECK(session.texts().day.size() == 20);
    CHECK(took.count() < 1.0);  // what is promised
    session.act(desk::ask::StopWork{}, view);
}
