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
    CHECK(mentions(packed, "into job.zip. A colleague opens it with cranknote unpack."));
    CHECK(mentions(garage.done({"unpack", "job.zip", "sent"}), "into sent; 2 originals checked by hash."));
    CHECK(mentions(garage.done({"verify", "sent"}), "The job is whole"));
    auto before = garage.states();
    auto after = Json::parse(garage.done({"states", "sent", "--json"}));
    before.erase("job"), after.erase("job");
    CHECK(after == before);
    const auto without = garage.done({"pack", "job", "bare.zip", "--without-owner"});
    CHECK(mentions(without, "Left out: title, vehicle, registration"));
    CHECK(mentions(without, "Still in it: "));
    garage.done({"unpack", "bare.zip"});  // into bare
    CHECK(text_of(garage.folder() / "bare/job.json").find("Smith") == std::string::npos);
    CHECK(files_in(garage.folder() / "bare/history") == 0);
    CHECK(mentions(garage.done({"verify", "bare"}), "2 originals checked by hash, 0 earlier versions"));
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
    CHECK(mentions(garage.done({"unpack", "job.zip", "whole"}), "2 originals"));
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
    CHECK(mentions(garage.done({"verify", "job"}), "The job is whole"));
}
