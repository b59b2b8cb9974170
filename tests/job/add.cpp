#include "job/add.hpp"

#include <catch2/catch.hpp>

#include "job/scratch.hpp"
#include "job/small_layout.hpp"
#include "job/verify.hpp"
#include "units/error.hpp"

namespace cranknote::job {
using test::Scratch;
using test::text_of;
namespace fs = std::filesystem;

namespace {

Folder new_job(const Scratch& scratch) {
    Job job;
    job.layout = test::small_layout;
    return Folder::create(scratch / "job", job);
}

Added add(Folder& folder, const fs::path& file, const std::string& state) {
    Addition a;
    a.state = state;
    return *add_file(folder, parse_layout(test::small_layout, "small"), file, a);
}

}  // namespace

TEST_CASE("a file is copied in untouched and found again") {
    const Scratch scratch;
    const auto file = scratch.put("as found.wav", "the sound");
    {
        auto folder = new_job(scratch);
        const auto added = add(folder, file, "as found");
        CHECK(added.recording.file == "recordings/as found.wav");
        CHECK(added.recording.size == 9);
    }
    CHECK(text_of(scratch / "job/recordings/as found.wav") == "the sound");
    CHECK(text_of(file) == "the sound");
    const auto again = Folder::open(scratch / "job");
    CHECK(again.job().recordings.at(0).sha256 == sha256_of("the sound"));
    CHECK(again.job().change == "added \"as found.wav\" to state \"as found\" (r1)");
    CHECK(verify(scratch / "job")->whole);
}

TEST_CASE("another file of the same name gets a number, the same content is kept once") {
    const Scratch scratch;
    fs::create_directory(scratch / "card");
    const auto first = scratch.put("a.wav", "one"), second = scratch.put("card/a.wav", "two");
    auto folder = new_job(scratch);
    add(folder, first, "as found");
    CHECK(add(folder, second, "as found").recording.file == "recordings/a (2).wav");
    Addition stretch;
    stretch.state = "as found";
    stretch.recording.from = Seconds{1};
    const auto added = add_file(folder, parse_layout(test::small_layout, "small"),
                                scratch.put("renamed.wav", "one"), stretch);
    CHECK(added->recording.file == "recordings/a.wav");
    CHECK(std::distance(fs::directory_iterator(scratch / "job/recordings"), {}) == 2);
}

TEST_CASE("an undone adding leaves its file, and adding again uses it") {
    const Scratch scratch;
    const auto file = scratch.put("a.wav", "one");
    auto folder = new_job(scratch);
    add(folder, file, "as found");
    CHECK(folder.undo() == "added \"a.wav\" to state \"as found\" (r1)");
    CHECK(folder.job().recordings.empty());
    CHECK(folder.job().states.empty());
    CHECK(add(folder, file, "as found").recording.file == "recordings/a.wav");
    CHECK(verify(scratch / "job")->troubles.empty());
}

TEST_CASE("a wrong call copies nothing") {
    const Scratch scratch;
    auto folder = new_job(scratch);
    CHECK_THROWS_AS(add(folder, scratch.put("a.wav", "one"), "fan off"), Error);
    CHECK_THROWS_AS(add(folder, scratch / "no such file", "as found"), Error);
    CHECK_THROWS_AS(add(folder, scratch.path(), "as found"), Error);
    CHECK(fs::is_empty(scratch / "job/recordings"));
}

TEST_CASE("a copy that is stopped leaves nothing") {
    const Scratch scratch;
    auto folder = new_job(scratch);
    Addition a;
    a.state = "as found";
    CHECK_FALSE(add_file(folder, parse_layout(test::small_layout, "small"),
                         scratch.put("a.wav", std::string(3 << 20, 'x')), a, [](double) { return false; })
                    .has_value());
    CHECK(fs::is_empty(scratch / "job/recordings"));
    CHECK(folder.job().recordings.empty());
}

TEST_CASE("odd file names come in and stay inside") {
    const Scratch scratch;
    auto folder = new_job(scratch);
    const std::string long_name = std::string(251, 'x') + ".wav";
    struct Case {
        std::string name, kept;
    };
    const auto c = GENERATE_COPY(values<Case>({{"Kühler 🔧 alt.m4a", "Kühler 🔧 alt.m4a"},
                                               {"-rf", "-rf"},
                                               {"a\\..\\b.wav", "a_.._b.wav"},
                                               {"tab\there\n.wav", "tab_here_.wav"},
                                               {"latin1 \xe4.wav", "latin1 _.wav"},
                                               {"..wav", "..wav"},
                                               {"...", "..."},
                                               {long_name, long_name}}));
    INFO(c.name);
    CHECK(add(folder, scratch.put(c.name, "sound of " + c.name), "as found").recording.file ==
          "recordings/" + c.kept);
    CHECK(text_of(scratch / "job/recordings" / c.kept) == "sound of " + c.name);
    CHECK(Folder::open(scratch / "job").job().recordings.size() == 1);
}

TEST_CASE("numbered names keep their ending and their 255 bytes, and no letter is cut in two") {
    CHECK(numbered_name("fan.wav", 2) == "fan (2).wav");
    CHECK(numbered_name("fan", 12) == "fan (12)");
    CHECK(numbered_name(".wav", 2) == ".wav (2)");
    std::string umlauts;
    while (umlauts.size() < 250) umlauts += "ä";
    const std::string name = numbered_name(umlauts + ".wav", 2);
    CHECK(name.size() <= 255);
    CHECK(name.size() >= 254);
    CHECK(safe_file_name(name) == name);  // still UTF-8
}

}  // namespace cranknote::job
