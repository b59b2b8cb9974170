#include "job/verify.hpp"

#include <catch2/catch.hpp>

#include "job/folder.hpp"
#include "job/scratch.hpp"

namespace cranknote::job {
using test::Scratch;
using test::text_of;
namespace fs = std::filesystem;

namespace {

/// A job with one original, of which two recordings are stretches.
void make_shared_job(const Scratch& scratch) {
    auto folder = Folder::create(scratch / "job", {});
    const auto copied = copy_in(scratch.put("a.wav", "the sound"), scratch / "job/recordings",
                                [](const Copied&) { return "a.wav"; });
    Job job = folder.job();
    job.states = {State{"as found", {}, {}, false, "", ""}};
    for (const char* id : {"r1", "r2"}) {
        Recording r;
        r.id = id;
        r.file = "recordings/a.wav";
        r.sha256 = copied->sha256;
        r.size = copied->size;
        r.modified = copied->modified;
        r.state = "as found";
        job.recordings.push_back(r);
    }
    folder.save(job, "added");
}

Fault only_fault(const std::vector<Trouble>& troubles) {
    REQUIRE(troubles.size() == 1);
    CHECK(troubles[0].file == "recordings/a.wav");
    return troubles[0].fault;
}

}  // namespace

TEST_CASE("an untouched job is whole") {
    const Scratch scratch;
    make_shared_job(scratch);
    double last = 0;
    const auto v = verify(scratch / "job", [&](double share) {
        last = share;
        return true;
    });
    REQUIRE(v);
    CHECK(v->whole);
    CHECK(v->files == 1);
    CHECK(v->versions == 1);
    CHECK(v->troubles.empty());
    CHECK(last == 1.0);
    CHECK(glance(scratch / "job", Folder::open(scratch / "job").job()).empty());
}

TEST_CASE("a changed, touched or missing original is found, at a glance or by its hash") {
    const Scratch scratch;
    make_shared_job(scratch);
    const auto file = scratch / "job/recordings/a.wav";
    const auto time = fs::last_write_time(file);
    const Job job = Folder::open(scratch / "job").job();
    SECTION("changed, same length and time: only the hash tells") {
        scratch.put(file, "the SOUND");
        fs::last_write_time(file, time);
        CHECK(glance(scratch / "job", job).empty());
        CHECK(only_fault(verify(scratch / "job")->troubles) == Fault::changed);
    }
    SECTION("another length") {
        scratch.put(file, "the sound.");
        CHECK(only_fault(glance(scratch / "job", job)) == Fault::changed);
        CHECK(only_fault(verify(scratch / "job")->troubles) == Fault::changed);
    }
    SECTION("another time, same content: no harm") {
        fs::last_write_time(file, time - std::chrono::hours{1});
        CHECK(only_fault(glance(scratch / "job", job)) == Fault::touched);
        CHECK(verify(scratch / "job")->whole);
    }
    SECTION("a time off by what a memory card rounds") {
        fs::last_write_time(file, time + std::chrono::seconds{2});
        CHECK(glance(scratch / "job", job).empty());
    }
    SECTION("missing") {
        fs::remove(file);
        CHECK(only_fault(glance(scratch / "job", job)) == Fault::missing);
        CHECK_FALSE(verify(scratch / "job")->whole);
    }
    SECTION("a link in its place is not it") {
        fs::remove(file);
        fs::create_symlink(scratch / "a.wav", file);
        CHECK(only_fault(verify(scratch / "job")->troubles) == Fault::unreadable);
    }
}

TEST_CASE("a stray file is named but takes nothing away") {
    const Scratch scratch;
    make_shared_job(scratch);
    scratch.put("job/recordings/b.wav", "x");
    const auto v = verify(scratch / "job");
    CHECK(v->whole);
    REQUIRE(v->troubles.size() == 1);
    CHECK(v->troubles[0].fault == Fault::stray);
}

TEST_CASE("damage in job.json and in its versions is found") {
    const Scratch scratch;
    make_shared_job(scratch);
    scratch.put("job/job.json", "{");
    auto v = verify(scratch / "job");
    CHECK_FALSE(v->whole);
    CHECK(v->troubles.at(0).file == "job.json");
    scratch.put("job/history/job.000000.json", "{");
    v = verify(scratch / "job");
    CHECK(v->troubles.at(1).file == "history/job.000000.json");
}

TEST_CASE("verifying can be stopped") {
    const Scratch scratch;
    make_shared_job(scratch);
    CHECK_FALSE(verify(scratch / "job", [](double) { return false; }).has_value());
}

}  // namespace cranknote::job
