// A disk that has no room: a clear error, and nothing lost. Run by on_small_disk.sh, which says in
// CRANKNOTE_SMALL_DISK where a disk of 2 MB is; and, without one, with a limit on the length of files.
#include <signal.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <cstdlib>

#include "job/add.hpp"
#include "job/evidence.hpp"
#include "job/folder.hpp"
#include "job/pack.hpp"
#include "job/scratch.hpp"
#include "job/verify.hpp"
#include "units/error.hpp"

namespace cranknote::job {
using test::Scratch;
using test::text_of;
namespace fs = std::filesystem;

namespace {

/// A job with one recording of `length` bytes, in `path`.
Folder filled_job(const fs::path& path, const Scratch& scratch, std::size_t length) {
    Job job;
    job.cylinders = 4;
    auto folder = Folder::create(path, job);
    Addition a;
    a.state = "as found";
    REQUIRE(add_file(folder, layout_of(folder.job()), scratch.put("first.wav", std::string(length, 'x')), a));
    return folder;
}

/// The error of adding `length` bytes; empty: none.
std::string trouble_in_adding(Folder& folder, const Scratch& scratch, std::size_t length) {
    Addition a;
    a.state = "as found";
    try {
        (void)add_file(folder, layout_of(folder.job()), scratch.put("second.wav", std::string(length, 'y')),
                       a);
        return "";
    } catch (const Error& e) {
        return e.what();
    }
}

std::string trouble_in_saving(Folder& folder, std::size_t length) {
    Job next = folder.job();
    next.title = std::string(length, 't');
    try {
        folder.save(std::move(next), "title");
        return "";
    } catch (const Error& e) {
        return e.what();
    }
}

/// As it was: on the disk and in memory, and nothing beside it.
void check_unchanged(const fs::path& path, const Folder& folder, const std::string& before) {
    CHECK(text_of(path / "job.json") == before);
    CHECK(folder.job().recordings.size() == 1);
    CHECK(verify(path)->whole);
    for (const auto& entry : fs::recursive_directory_iterator(path))
        CHECK_FALSE(entry.path().filename().string().starts_with(temporary_prefix));
}

}  // namespace

TEST_CASE("a full disk: adding, saving, packing and unpacking say so, and nothing is lost", "[.small-disk]") {
    const char* disk = std::getenv("CRANKNOTE_SMALL_DISK");
    REQUIRE(disk != nullptr);
    const Scratch scratch;
    const fs::path path = fs::path(disk) / "job";
    auto folder = filled_job(path, scratch, 1'200'000);
    const auto before = text_of(path / "job.json");
    CHECK_THAT(trouble_in_adding(folder, scratch, 1'000'000),
               Catch::Contains("the disk is full") && Catch::Contains("make room and try again"));
    check_unchanged(path, folder, before);
    CHECK_THAT(trouble_in_saving(folder, 1'000'000), Catch::Contains("the disk is full"));
    check_unchanged(path, folder, before);
    CHECK_THROWS_WITH(pack(folder, fs::path(disk) / "sent.zip"), Catch::Contains("the disk is full"));
    REQUIRE(pack(folder, scratch / "sent.zip"));
    CHECK_THROWS_WITH(unpack(scratch / "sent.zip", fs::path(disk) / "got"),
                      Catch::Contains("the disk is full"));
    check_unchanged(path, folder, before);
    CHECK(std::distance(fs::directory_iterator(disk), {}) == 1);
    // With room again it goes on.
    CHECK(trouble_in_adding(folder, scratch, 1000).empty());
    CHECK(verify(path)->whole);
}

TEST_CASE("a write that fails half-way leaves everything as it was") {
    const Scratch scratch;
    auto folder = filled_job(scratch / "job", scratch, 1000);
    const auto before = text_of(scratch / "job/job.json");
    const pid_t child = ::fork();  // the limit is for a child's life
    REQUIRE(child >= 0);
    if (child == 0) {
        ::signal(SIGXFSZ, SIG_IGN);
        const rlimit limit{50'000, 50'000};
        bool good = ::setrlimit(RLIMIT_FSIZE, &limit) == 0;
        Job next = folder.job();
        next.title = std::string(100'000, 't');
        try {
            folder.save(std::move(next), "title");
            good = false;
        } catch (const Error& e) {
            good = good && std::string(e.what()).find("job") != std::string::npos;
        }
        good = good && !folder.job().title;
        ::_exit(good ? 0 : 1);
    }
    int status = 0;
    ::waitpid(child, &status, 0);
    CHECK(status == 0);
    check_unchanged(scratch / "job", folder, before);
}

}  // namespace cranknote::job
