#include "job/pack.hpp"

#include <catch2/catch.hpp>
#include <map>

#include "job/add.hpp"
#include "job/evidence.hpp"
#include "job/hand_made_zip.hpp"
#include "job/json.hpp"
#include "job/scratch.hpp"
#include "job/verify.hpp"
#include "units/error.hpp"

namespace cranknote::job {
using test::Scratch;
using test::text_of;
using test::zip_of;
using test::ZipFile;
namespace fs = std::filesystem;

namespace {

/// A job with two originals (one with a hard name), a note, versions, a cache and a stray file.
void make_job(const Scratch& scratch) {
    Job job = full_job();
    job.states.resize(1);
    job.recordings.clear();
    job.readings.clear();
    job.like->path = "../jobs of Mrs Smith";
    auto folder = Folder::create(scratch / "Fräulein 🚐", job);
    const Layout layout = layout_of(folder.job());
    for (const char* name : {"as found, Smith.wav", "Läufer 🔧.wav"}) {
        Addition a;
        a.state = "as found";
        a.recording.notes = "bonnet open, said J. BÄR 🔧 himself";
        REQUIRE(add_file(folder, layout, scratch.put(name, std::string("sound of ") + name), a));
    }
    scratch.put("Fräulein 🚐/notes/note.txt", "for A Rowing Club");
    fs::create_directory(scratch / "Fräulein 🚐/notes/figures");
    scratch.put("Fräulein 🚐/notes/figures/a.svg", "<svg/>");
    scratch.put("Fräulein 🚐/recordings/stray.wav", "stray");
    scratch.put("Fräulein 🚐/cache/x.bin", "cache");
}

std::map<std::string, std::string> contents(const fs::path& folder) {
    std::map<std::string, std::string> all;
    for (const auto& entry : fs::recursive_directory_iterator(folder))
        if (entry.is_regular_file()) all[entry.path().lexically_relative(folder)] = text_of(entry.path());
    return all;
}

std::size_t count_in(const fs::path& folder) {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder), {}));
}

/// A small job that unpacks, to be spoilt.
std::vector<ZipFile> good_pack() {
    Job job;
    job.id = "00112233445566778899aabbccddeeff";
    job.cylinders = 4;
    job.states = {State{"as found", {}, {}, false, "", ""}};
    Recording r;
    r.id = "r1";
    r.file = "recordings/a.wav";
    r.sha256 = sha256_of("sound");
    r.size = 5;
    r.modified = *moment_from("2026-03-01T09:30:00Z");
    r.state = "as found";
    job.recordings = {r};
    return {{"job/job.json", to_json(job)}, {"job/recordings/a.wav", "sound"}};
}

/// Unpacking must fail with these words, and leave nothing behind.
void check_refused(const std::vector<ZipFile>& files, const std::string& words,
                   const PackLimits& limits = {}) {
    const Scratch scratch;
    const auto pack_file = scratch.put("evil.zip", zip_of(files));
    INFO(words);
    try {
        (void)unpack(pack_file, scratch / "new", {}, limits);
        FAIL_CHECK("it was unpacked");
    } catch (const Error& e) {
        INFO(e.what());
        CHECK(std::string(e.what()).find(words) != std::string::npos);
        CHECK(std::string(e.what()).find('\n') == std::string::npos);
        CHECK(e.where.find("evil.zip") != std::string::npos);
    }
    CHECK(count_in(scratch.path()) == 1);
}

void check_refused(const ZipFile& more, const std::string& words, const PackLimits& limits = {}) {
    auto files = good_pack();
    files.push_back(more);
    check_refused(files, words, limits);
}

}  // namespace

TEST_CASE("a job is the same after packing and unpacking, its cache and lock left out") {
    const Scratch scratch;
    make_job(scratch);
    const auto job = scratch / "Fräulein 🚐";
    const auto packed = pack(Folder::open(job), scratch / "sent.zip");
    REQUIRE(packed);
    const auto unpacked = unpack(scratch / "sent.zip", scratch / "got");
    REQUIRE(unpacked);
    CHECK(unpacked->originals == 2);
    CHECK(unpacked->files == packed->files);
    auto before = contents(job), after = contents(scratch / "got");
    CHECK(before.erase("cache/x.bin") == 1);
    CHECK(before.erase("job.lock") == 1);
    CHECK(after == before);
    CHECK(before.contains("history/job.000002.json"));
    CHECK(verify(scratch / "got")->whole);
    CHECK(glance(scratch / "got", Folder::open(scratch / "got").job()).empty());
    // It can be worked on, and packed again.
    auto folder = Folder::open(scratch / "got", {.access = Access::change});
    CHECK(folder.undo().has_value());
    CHECK(pack(folder, scratch / "again.zip"));
}

TEST_CASE("without its owner a job keeps its evidence and loses everything personal") {
    const Scratch scratch;
    make_job(scratch);
    const auto folder = Folder::open(scratch / "Fräulein 🚐");
    REQUIRE(pack(folder, scratch / "sent.zip", {.without_owner = true}));
    REQUIRE(unpack(scratch / "sent.zip", scratch / "got"));
    const auto after = contents(scratch / "got");
    REQUIRE(after.size() == 3);
    CHECK(after.at("recordings/r1.wav") == "sound of as found, Smith.wav");
    CHECK(after.at("recordings/r2.wav") == "sound of Läufer 🔧.wav");
    const auto& text = after.at("job.json");
    for (const char* personal :
         {"Smith", "rowing", "TE ST", "2026/17", "Bär", "BÄR", "minibus", "123 456", "Scrapes after",
          "pocket", "weather_station", "edge.jpg", "Läufer", "loudness"})
        CHECK(text.find(personal) == std::string::npos);
    const auto job = Folder::open(scratch / "got").job();
    CHECK(job.recordings.at(0).notes == "bonnet open, said … himself");
    CHECK(job.engine_code == "X5");
    CHECK(job.saw.at(0).text == "shiny edge");
    CHECK(job.complaints.at(0).ratio == Ratio{2.84});
    CHECK(job.like->id == "ffeeddccbbaa99887766554433221100");
    CHECK(job.recordings.at(0).sha256 == folder.job().recordings.at(0).sha256);
    // The name of the job's folder is not in the pack either.
    CHECK(text_of(scratch / "sent.zip").find("ulein") == std::string::npos);
}

TEST_CASE("a pack is never written over another file unless told, nor half") {
    const Scratch scratch;
    make_job(scratch);
    const auto folder = Folder::open(scratch / "Fräulein 🚐");
    scratch.put("sent.zip", "mine");
    CHECK_THROWS_WITH(pack(folder, scratch / "sent.zip"), Catch::Contains("is there already"));
    CHECK(text_of(scratch / "sent.zip") == "mine");
    CHECK(pack(folder, scratch / "sent.zip", {.replace = true}));
    CHECK(text_of(scratch / "sent.zip").starts_with("PK"));
    const auto before = count_in(scratch.path());
    CHECK_FALSE(pack(folder, scratch / "other.zip", {}, [](double) { return false; }));
    scratch.put("Fräulein 🚐/recordings/as found, Smith.wav", "sound of As found, Smith.wav");
    CHECK_THROWS_WITH(pack(folder, scratch / "other.zip"), Catch::Contains("was changed"));
    fs::remove(scratch / "Fräulein 🚐/recordings/as found, Smith.wav");
    CHECK_THROWS_WITH(pack(folder, scratch / "other.zip"), Catch::Contains("not there any more"));
    CHECK_THROWS_AS(pack(folder, scratch / "no/such/folder.zip"), Error);
    CHECK(count_in(scratch.path()) == before);
}

TEST_CASE("what unpacking would refuse is not packed") {
    const Scratch scratch;
    make_job(scratch);
    const auto folder = Folder::open(scratch / "Fräulein 🚐");
    SECTION("names that only capitals tell apart") {
        scratch.put("Fräulein 🚐/notes/NOTE.txt", "another");
        CHECK_THROWS_WITH(pack(folder, scratch / "sent.zip"), Catch::Contains("only in capitals"));
    }
    SECTION("a name that is not UTF-8") {
        scratch.put("Fräulein 🚐/notes/\xff.txt", "another");
        CHECK_THROWS_WITH(pack(folder, scratch / "sent.zip"), Catch::Contains("not UTF-8"));
    }
    SECTION("a link is not followed") {
        scratch.put("secret", "secret");
        fs::create_symlink(scratch / "secret", scratch / "Fräulein 🚐/notes/link.txt");
        REQUIRE(pack(folder, scratch / "sent.zip"));
        CHECK(text_of(scratch / "sent.zip").find("link.txt") == std::string::npos);
    }
}

TEST_CASE("a pack made by another program is unpacked, with or without a folder in it") {
    const Scratch scratch;
    auto files = good_pack();
    SECTION("a folder") {
        files.insert(files.begin(), ZipFile{"job/", "", 0040755});
        files.insert(files.begin() + 1, ZipFile{"job/recordings/", "", 0040755});
        files.push_back({"job/cache/x.bin", "old"});
        files.push_back({"job/job.lock", ""});
    }
    SECTION("no folder") {
        for (auto& f : files) f.name.erase(0, 4);
    }
    SECTION("a folder called like one of a job's") {
        for (auto& f : files) f.name.replace(0, 3, "my notes");
    }
    const auto unpacked = unpack(scratch.put("a.zip", zip_of(files)), scratch / "got");
    REQUIRE(unpacked);
    CHECK(unpacked->files == 2);
    CHECK(contents(scratch / "got").size() == 2);
    CHECK(glance(scratch / "got", Folder::open(scratch / "got").job()).empty());
}

TEST_CASE("names that lead out of the folder are refused") {
    for (const char* name : {"job/../../x", "../x", "job/recordings/../../../x", "job/recordings/..", ".",
                             "..", "job/./job.json", "job//x", "job\\..\\x", "job/recordings/a\\b.wav"})
        check_refused(ZipFile{name, "x"}, "leads out of the job's folder");
    check_refused(ZipFile{"/etc/passwd", "x"}, "its name is absolute");
    check_refused(ZipFile{"job/recordings/a\x1b[31m.wav", "x"}, "holds what no name may");
    check_refused(ZipFile{"job/recordings/" + std::string(256, 'a'), "x"}, "holds what no name may");
    check_refused(ZipFile{"job/recordings/\xff.wav", "x"}, "evil.zip");
    check_refused(ZipFile{"", "x"}, "evil.zip");
}

TEST_CASE("names that are not a job's are refused") {
    for (const char* name : {"job/run.sh", "job/.ssh/config", "job/history/x.json", "job/history/job.x.json",
                             "job/history/job.1.json/x", "job/job.json.bak"})
        check_refused(ZipFile{name, "x"}, "no file of a job");
    check_refused(ZipFile{"other/notes/x.txt", "x"}, "not in the job's folder");
    check_refused(ZipFile{"job.json", "x"}, "not in the job's folder");
    check_refused(ZipFile{"job/bin/", "", 0040755}, "no file of a job");
}

TEST_CASE("links, devices and locked files are refused") {
    check_refused(ZipFile{"job/notes/a", "/etc/passwd", 0120777}, "it is a link");
    check_refused(ZipFile{"job/recordings/b.wav", "../../x", 0120777}, "it is a link");
    for (const std::uint32_t mode : {0020666u, 0060666u, 0140777u})
        check_refused(ZipFile{"job/notes/a", "", mode}, "not a plain file");
    check_refused(ZipFile{"job/notes/a", "secret words", 0100644, 0, 1u << 11 | 1u}, "password");
}

TEST_CASE("names that some machine takes for one are refused") {
    check_refused(ZipFile{"job", "x"}, "there twice");  // a file, where the folder is
    check_refused(ZipFile{"job/recordings", "x"}, "there twice");
    check_refused(ZipFile{"job/job.json", "x"}, "there twice");
    check_refused(ZipFile{"job/recordings/a.wav", "sound"}, "there twice");
    check_refused(ZipFile{"job/recordings/A.WAV", "sound"}, "there twice");
    check_refused(std::vector<ZipFile>{{"job/notes/Ärger", "x"}, {"job/notes/ärger", "x"}}, "there twice");
    // composed, and as a letter with a mark behind it
    check_refused(std::vector<ZipFile>{{"job/notes/\xc3\xa4", "x"}, {"job/notes/a\xcc\x88", "x"}},
                  "there twice");
    check_refused(std::vector<ZipFile>{{"job/notes/a", "x"}, {"job/notes/A/b", "x"}}, "there twice");
    check_refused(std::vector<ZipFile>{{"job/notes/a/b", "x"}, {"job/notes/A", "x"}}, "there twice");
}

TEST_CASE("bombs are refused before they fill the disk") {
    PackLimits limits;
    limits.free_bytes = 1 << 20;
    // 4 MB of zeros in 26 KB: 160 to one
    const ZipFile zeros{
        "job/notes/zeros", test::deflated_zeros(16'000), 0100644, 8, 1u << 11, 1 + 258 * 16'000, 0};
    check_refused(zeros, "far more than it is", limits);
    limits.most_bytes = 1 << 20;
    check_refused(ZipFile{"job/notes/long", std::string(2 << 20, 'x')}, "more than any job", limits);
    limits.most_files = 2;
    check_refused(ZipFile{"job/notes/a", "x"}, "more files than any job", limits);
    limits.most_text = 100;
    check_refused(good_pack(), "longer than any job's", limits);
    check_refused(ZipFile{"job/notes/a", "x", 0100644, 14}, "a way that is not read here");
}

TEST_CASE("the same bytes under many names are one file") {
    // 300 names for one place: by the central directory 3 MB, in truth 10 KB.
    auto files = good_pack();
    files.push_back({"job/notes/x", std::string(10'000, 'x')});
    files.back().times = 300;
    const Scratch scratch;
    PackLimits limits;
    limits.free_bytes = 1 << 20;
    const auto unpacked = unpack(scratch.put("evil.zip", zip_of(files)), scratch / "got", {}, limits);
    REQUIRE(unpacked);
    CHECK(unpacked->files == 3);
}

TEST_CASE("damage in a pack is found, wherever it is") {
    const Scratch scratch;
    const auto whole = zip_of(good_pack());
    auto files = good_pack();
    files[1].crc = 1;
    check_refused(files, "damaged");
    files = good_pack();
    files[1].data = "SOUND";  // another sound, packed properly
    check_refused(files, "\"recordings/a.wav\": the original was changed");
    files.pop_back();
    check_refused(files, "\"recordings/a.wav\": the original is not there");
    files = good_pack();
    files[0].data = "{";
    check_refused(files, "job.json cannot be read");
    files.erase(files.begin());
    check_refused(files, "there is no job in it");
    check_refused(std::vector<ZipFile>{}, "evil.zip");
    int unpacked = 0;
    for (std::size_t length = 0; length < whole.size(); length += 7) {
        const auto file = scratch.put("cut.zip", whole.substr(0, length));
        try {
            (void)unpack(file, scratch / "got");
            ++unpacked;  // the end of the directory may be missing, the job not
            CHECK(verify(scratch / "got")->whole);
            fs::remove_all(scratch / "got");
        } catch (const Error& e) {
            CHECK(e.where.find("cut.zip") != std::string::npos);
        }
        CHECK(count_in(scratch.path()) == 1);
    }
    CHECK(unpacked < 40);
    scratch.put("cut.zip", "these are words");
    CHECK_THROWS_WITH(unpack(scratch / "cut.zip", scratch / "got"), Catch::Contains("not a packed job"));
    CHECK_THROWS_WITH(unpack(scratch.path(), scratch / "got"), Catch::Contains("not a plain file"));
    CHECK_THROWS_WITH(unpack(scratch / "nothing.zip", scratch / "got"), Catch::Contains("no such file"));
}

TEST_CASE("unpacking is never over anything, and can be stopped") {
    const Scratch scratch;
    const auto file = scratch.put("a.zip", zip_of(good_pack()));
    scratch.put("there", "mine");
    CHECK_THROWS_WITH(unpack(file, scratch / "there"), Catch::Contains("is there already"));
    CHECK_THROWS_WITH(unpack(file, scratch / "no/such"), Catch::Contains("no such folder"));
    CHECK_FALSE(unpack(file, scratch / "got", [](double) { return false; }));
    CHECK(count_in(scratch.path()) == 2);
    CHECK(text_of(scratch / "there") == "mine");
    CHECK(unpack(file, scratch / "got/"));
}

}  // namespace cranknote::job
