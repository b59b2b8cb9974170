#include "job/disk.hpp"

#include <sys/stat.h>

#include <catch2/catch.hpp>

#include "job/scratch.hpp"
#include "units/error.hpp"

namespace cranknote::job {
using test::Scratch;
using test::text_of;
namespace fs = std::filesystem;

TEST_CASE("SHA-256 is that of FIPS 180-4") {
    // NIST's example values for SHA-256: one block "abc", and two blocks.
    CHECK(sha256_of("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    CHECK(sha256_of("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
          "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    const Scratch scratch;
    CHECK(sha256_of_file(scratch.put("abc", "abc")) == sha256_of("abc"));
    const std::string long_one(3'500'000, 'x');  // more than three blocks of reading
    CHECK(sha256_of_file(scratch.put("long", long_one)) == sha256_of(long_one));
}

TEST_CASE("hashing can be stopped and says how far it is") {
    const Scratch scratch;
    const auto file = scratch.put("long", std::string(5 << 20, 'x'));
    int calls = 0;
    double last = 0;
    CHECK_FALSE(sha256_of_file(file, [&](double share) {
                    ++calls;
                    last = share;
                    return calls < 2;
                }).has_value());
    CHECK(calls == 2);
    CHECK(last == 0.4);  // two of five blocks of 1 MiB
}

TEST_CASE("words that lead out of a folder are known") {
    for (const char* good : {"a", "a/b", "recordings/ä 🔧.wav", "..a", "a../b", "a/...", "-x"}) {
        INFO(good);
        CHECK(stays_inside(good));
    }
    for (const std::string_view bad :
         {"", "/", "/a", "a/", "..", ".", "a/..", "../a", "a/./b", "a//b", "a\\..\\b", "c:\\x"}) {
        INFO(bad);
        CHECK_FALSE(stays_inside(bad));
    }
    CHECK_FALSE(stays_inside(std::string_view("a\0b", 3)));
}

TEST_CASE("links that lead out of a folder are refused, links within it are not") {
    const Scratch scratch;
    fs::create_directories(scratch / "job/recordings");
    fs::create_directory(scratch / "elsewhere");
    fs::create_directory_symlink("../elsewhere", scratch / "job/out");
    fs::create_directory_symlink("recordings", scratch / "job/in");
    fs::create_symlink("/nowhere/at/all", scratch / "job/dangling");
    fs::create_directory_symlink("../job2", scratch / "job/near");
    fs::create_directory(scratch / "job2");  // its name begins like the job's
    CHECK(inside(scratch / "job", "recordings/a.wav") == scratch / "job/recordings/a.wav");
    CHECK(inside(scratch / "job", "in/a.wav") == scratch / "job/in/a.wav");
    CHECK_THROWS_AS(inside(scratch / "job", "out/a.wav"), Error);
    CHECK_THROWS_AS(inside(scratch / "job", "dangling"), Error);
    CHECK_THROWS_AS(inside(scratch / "job", "near/a.wav"), Error);
    CHECK_THROWS_AS(inside(scratch / "job", "recordings/../../a"), Error);
}

TEST_CASE("a write replaces a file whole and leaves nothing beside it") {
    const Scratch scratch;
    write_whole(scratch / "a", "one");
    write_whole(scratch / "a", "two", Sync::fast);
    CHECK(text_of(scratch / "a") == "two");
    CHECK(std::distance(fs::directory_iterator(scratch.path()), {}) == 1);
    CHECK_THROWS_AS(write_whole(scratch / "missing/a", "x"), Error);
}

TEST_CASE("only plain files are read, and only up to a limit") {
    const Scratch scratch;
    CHECK(read_file(scratch.put("a", "12345"), 5) == "12345");
    CHECK_THROWS_AS(read_file(scratch / "a", 4), Error);
    CHECK_THROWS_AS(read_file(scratch.path(), 100), Error);
    REQUIRE(::mkfifo((scratch / "pipe").c_str(), 0600) == 0);
    CHECK_THROWS_AS(read_file(scratch / "pipe", 100), Error);  // and does not wait for a writer
    CHECK_THROWS_AS(read_file("/dev/zero", 100), Error);
}

TEST_CASE("a copy keeps bytes and time, and is not kept if its name is empty") {
    const Scratch scratch;
    const auto from = scratch.put("from", "sound");
    const auto old = fs::file_time_type::clock::now() - std::chrono::hours{50};
    fs::last_write_time(from, old);
    fs::create_directory(scratch / "to");
    const auto copied = copy_in(from, scratch / "to", [](const Copied&) { return "name"; });
    REQUIRE(copied);
    CHECK(copied->sha256 == sha256_of("sound"));
    CHECK(copied->size == 5);
    CHECK(text_of(scratch / "to/name") == "sound");
    CHECK(facts_of(scratch / "to/name")->modified == facts_of(from)->modified);
    CHECK(copied->modified == facts_of(from)->modified);
    REQUIRE(copy_in(from, scratch / "to", [](const Copied&) { return ""; }));
    CHECK(std::distance(fs::directory_iterator(scratch / "to"), {}) == 1);
}

}  // namespace cranknote::job
