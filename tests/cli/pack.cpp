// pack, unpack and import as a person or a script calls them; and two of them at once.
#include <sys/wait.h>
#include <unistd.h>

#include <filesystem>

#include "cli/garage.hpp"
#include "job/hand_made_zip.hpp"

namespace {

using namespace cranknote::test;
using Json = nlohmann::json;
namespace fs = std::filesystem;

std::size_t files_in(const fs::path& folder) {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder), {}));
}

}  // namespace

TEST_CASE("a job is packed, sent and unpacked") {
    const Garage garage;
    garage.fill();
    garage.done({"card", "job", "--owner", "Mrs Smith", "--registration", "TE ST 1"});
    const auto packed = garage.done({"pack", "job"});
    CHECK(says(packed, "into job.zip. A colleague opens it with cranknote unpack."));
    CHECK(says(garage.done({"unpack", "job.zip", "sent"}), "into sent; 2 originals checked by hash."));
    CHECK(says(garage.done({"verify", "sent"}), "The job is whole"));
    auto before = garage.states();
    auto after = Json::parse(garage.done({"states", "sent", "--json"}));
    before.erase("job"), after.erase("job");
    CHECK(after == before);
    const auto without = garage.done({"pack", "job", "bare.zip", "--without-owner"});
    CHECK(says(without, "Left out: title, vehicle, registration"));
    CHECK(says(without, "Still in it: "));
    garage.done({"unpack", "bare.zip"});  // into bare
    CHECK(text_of(garage.folder() / "bare/job.json").find("Smith") == std::string::npos);
    CHECK(files_in(garage.folder() / "bare/history") == 0);
    CHECK(says(garage.done({"verify", "bare"}), "2 originals checked by hash, 0 earlier versions"));
}

TEST_CASE("wrong calls of pack and unpack leave nothing behind") {
    const Garage garage;
    garage.fill();
    garage.done({"pack", "job"});
    garage.folder().put("evil.zip", zip_of({{"job/job.json", "{}"}, {"job/../../x", "x"}}));
    const auto before = files_in(garage.folder().path());
    check_refused(garage.run({"pack", "job"}), "is there already");
    check_refused(garage.run({"pack", "job", "job.rar"}), "ends in .zip");
    check_refused(garage.run({"pack", "no job"}), "no such job", 1);
    check_refused(garage.run({"pack", "job", "no/such/a.zip"}), "no/such", 1);
    check_refused(garage.run({"unpack", "job.zip"}), "is there already");
    check_refused(garage.run({"unpack", "job.zip", "no/such/job"}), "no such folder", 1);
    check_refused(garage.run({"unpack", "a.wav", "x"}), "not a packed job", 1);
    check_refused(garage.run({"unpack", "nothing.zip", "x"}), "nothing.zip", 1);
    check_refused(garage.run({"unpack", "evil.zip"}), "leads out of the job's folder", 1);
    check_refused(garage.run({"unpack"}), "FILE is required");
    CHECK(files_in(garage.folder().path()) == before);
    put_tone(garage.folder() / "job/recordings/a.wav", 200, 2);
    check_refused(garage.run({"pack", "job", "--replace"}), "was changed", 1);
    CHECK(says(garage.done({"unpack", "job.zip", "whole"}), "2 originals"));
}

TEST_CASE("importing looks, suggests, and adds only when told") {
    const Garage garage;
    garage.done({"new", "job", "--layout", "small.toml"});
    fs::create_directory(garage.folder() / "card");
    const auto put = [&](const std::string& name, const std::string& sample, int hours_ago) {
        const auto file = garage.folder() / ("card/" + name);
        fs::copy_file(CRANKNOTE_SOURCE_DIR "/samples/minibus/recordings/" + sample, file);
        fs::last_write_time(file, fs::file_time_type::clock::now() - std::chrono::hours{hours_ago});
    };
    put("REC3.m4a", "belt realigned.m4a", 1);
    put("fan belt off.m4a", "refitted, cold.m4a", 2);
    put("REC1.m4a", "as found, cold.m4a", 3);
    garage.folder().put("card/photo.jpg", "\xff\xd8\xff");
    garage.folder().put("card/broken.m4a", "no sound");
    const auto look = garage.done({"import", "card"});
    CHECK(look.find("REC1.m4a") < look.find("fan belt off.m4a"));
    CHECK(look.find("fan belt off.m4a") < look.find("REC3.m4a"));
    CHECK(says(look, "Nothing was added. To add: cranknote import JOB FOLDER"));
    CHECK(says(look, "1 other file is no sound."));
    const auto table = garage.done({"import", "job", "card"});
    CHECK(says(table, "state \"fan belt off\", off: fan belt off."));
    CHECK(says(table, "nobody said what was off"));
    CHECK(says(table, "not for adding: "));
    CHECK(garage.states()["recordings"].empty());
    const Json j = Json::parse(garage.done({"import", "job", "card", "--json"}));
    REQUIRE(j["files"].size() == 4);
    CHECK(j["schema"] == 1);
    CHECK(j["files"][0]["file"] == "REC1.m4a");
    CHECK(j["files"][0]["duration_s"] == 16.0);
    CHECK(j["files"][0]["usable"] == true);
    CHECK(j["files"][0]["began_from"] == "file");
    CHECK(j["files"][0]["suggested"]["state"] == "as found");
    CHECK(j["files"][0]["added"].is_null());
    CHECK(j["files"][2]["why_not"] == "nobody said what was off");
    CHECK(j["files"][3]["suggested"].is_null());
    CHECK_FALSE(j["files"][3]["trouble"].is_null());
    CHECK(garage.states()["recordings"].empty());
    const auto added = garage.done({"import", "job", "card", "--yes"});
    CHECK(says(added, "Added 1 as r1. Added 2 as r2."));
    const auto after = garage.states();
    REQUIRE(after["recordings"].size() == 2);
    CHECK(after["states"][1]["off"] == Json::array({"fan belt off"}));
    CHECK(says(garage.done({"import", "job", "card"}), "the same as r1"));
    check_refused(garage.run({"import", "card", "--yes"}), "into which job?");
    check_refused(garage.run({"import"}), "PLACES is required");
    check_refused(garage.run({"import", "job", "no folder"}), "no such folder", 1);
    check_refused(garage.run({"import", "no job", "card"}), "no such job", 1);
    check_refused(garage.run({"import", "job", "card", "card"}), "PLACES");
}

TEST_CASE("two programs at once lose nothing of each other") {
    const Garage garage;
    garage.fill();
    constexpr int each = 6;
    std::vector<pid_t> children;
    for (const char* who : {"left", "right"}) {
        const pid_t child = ::fork();
        REQUIRE(child >= 0);
        if (child == 0) {
            const Scratch own;
            bool good = true;
            for (int i = 0; i < each && good; ++i)
                good = run_program(own.path(),
                                   {"reading", (garage.folder() / "job").string(), who, std::to_string(i)})
                           .code == 0;
            ::_exit(good ? 0 : 1);
        }
        children.push_back(child);
    }
    for (const pid_t child : children) {
        int status = -1;
        ::waitpid(child, &status, 0);
        CHECK(status == 0);
    }
    const Json j = garage.states();
    REQUIRE(j["readings"].size() == 2 * each);
    int left = 0, right = 0;
    for (const auto& r : j["readings"]) {
        auto& next = r["what"] == "left" ? left : right;
        CHECK(r["value"] == next++);
    }
    CHECK(says(garage.done({"verify", "job"}), "The job is whole"));
}
