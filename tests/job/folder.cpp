#include "job/folder.hpp"

#include <unistd.h>

#include <catch2/catch.hpp>

#include "job/scratch.hpp"
#include "units/error.hpp"

namespace cranknote::job {
using test::mentions;
using test::Scratch;
using test::text_of;
namespace fs = std::filesystem;

namespace {

const Opening to_change{.access = Access::change, .program = "a test", .wait_s = 0};

Job titled(Job job, const std::string& title) {
    job.title = title;
    return job;
}

/// Saves titles "1" to "n".
void save_titles(Folder& folder, int n) {
    for (int i = 1; i <= n; ++i)
        folder.save(titled(folder.job(), std::to_string(i)), "title " + std::to_string(i));
}

std::string error_of(const auto& act) {
    try {
        act();
    } catch (const Error& e) {
        return e.what();
    }
    return "no error";
}

}  // namespace

TEST_CASE("a new job is a folder that a person can read") {
    const Scratch scratch;
    Job job;
    job.layout = "schema = 1\n";
    job.title = "Whines";
    const auto folder = Folder::create(scratch / "a job", job);
    CHECK(folder.job().id.size() == 32);
    CHECK(folder.job().revision == 1);
    CHECK(folder.read_only().empty());
    for (const char* name : {"recordings", "notes", "cache", "history"})
        CHECK(fs::is_directory(scratch / "a job" / name));
    CHECK(text_of(scratch / "a job/layout.toml") == "schema = 1\n");
    CHECK(mentions(text_of(scratch / "a job/job.json"), "\"title\": \"Whines\""));
    CHECK(std::distance(fs::directory_iterator(scratch.path()), {}) == 1);
}

TEST_CASE("a new job does not go where something is") {
    const Scratch scratch;
    { auto folder = Folder::create(scratch / "a", {}); }
    CHECK(mentions(error_of([&] { (void)Folder::create(scratch / "a", {}); }), "a job here already"));
    scratch.put("file", "x");
    CHECK(mentions(error_of([&] { (void)Folder::create(scratch / "file", {}); }), "a file here already"));
    fs::create_directory(scratch / "photos");
    scratch.put("photos/1.jpg", "x");
    CHECK(mentions(error_of([&] { (void)Folder::create(scratch / "photos", {}); }), "other things"));
    CHECK(mentions(error_of([&] { (void)Folder::create(scratch / "no/such/place", {}); }), "no such folder"));
    fs::create_directory(scratch / "empty");
    CHECK_NOTHROW(Folder::create(scratch / "empty/", {}));
}

TEST_CASE("a job in a folder that holds only its own layout may begin there") {
    const Scratch scratch;
    fs::create_directory(scratch / "job");
    scratch.put("job/layout.toml", "schema = 1\n");
    Job job;
    job.layout = "schema = 1\n";
    CHECK_NOTHROW(Folder::create(scratch / "job", job));
    fs::create_directory(scratch / "other");
    scratch.put("other/layout.toml", "schema = 2\n");
    CHECK_THROWS_AS(Folder::create(scratch / "other", job), Error);
    CHECK(text_of(scratch / "other/layout.toml") == "schema = 2\n");
}

TEST_CASE("what was saved is there when the job is opened again") {
    const Scratch scratch;
    std::string id;
    {
        auto folder = Folder::create(scratch / "job", {});
        id = folder.job().id;
        Job all = full_job();
        folder.save(all, "everything");
        CHECK(folder.job().revision == 2);
    }
    const auto again = Folder::open(scratch / "job");
    CHECK(again.job().id == id);  // a save does not change which job it is
    CHECK(again.job().recordings.size() == 1);
    CHECK(again.job().change == "everything");
    CHECK(again.job().unknown == full_job().unknown);
    CHECK(again.remarks().empty());
}

TEST_CASE("ten versions are kept") {
    const Scratch scratch;
    auto folder = Folder::create(scratch / "job", {});
    save_titles(folder, 25);
    int versions = 0;
    for (const auto& entry : fs::directory_iterator(scratch / "job/history"))
        versions += entry.path().filename().string().starts_with("job.") ? 1 : 0;
    CHECK(versions == versions_kept);
    CHECK(fs::exists(scratch / "job/history/job.000025.json"));
    CHECK(fs::exists(scratch / "job/history/job.000016.json"));
}

TEST_CASE("undo goes back as far as versions are kept and says what it undid; redo comes back") {
    const Scratch scratch;
    auto folder = Folder::create(scratch / "job", {});
    save_titles(folder, 3);
    CHECK(folder.undo() == "title 3");
    CHECK(folder.job().title == "2");
    CHECK(folder.undo() == "title 2");
    CHECK(Folder::open(scratch / "job").job().title == "1");
    CHECK(folder.redo() == "title 2");
    CHECK(folder.redo() == "title 3");
    CHECK_FALSE(folder.redo().has_value());
    CHECK(Folder::open(scratch / "job").job().title == "3");
    CHECK(folder.undo() == "title 3");
    CHECK(folder.undo() == "title 2");
    CHECK(folder.undo() == "title 1");
    CHECK_FALSE(folder.job().title.has_value());
    CHECK_FALSE(folder.undo().has_value());
    save_titles(folder, 1);
    CHECK_FALSE(folder.redo().has_value());  // a change after an undo begins anew
    CHECK(folder.undo() == "title 1");
}

TEST_CASE("ten changes can be undone") {
    const Scratch scratch;
    auto folder = Folder::create(scratch / "job", {});
    save_titles(folder, 20);
    int undone = 0;
    while (folder.undo()) ++undone;
    CHECK(undone == versions_kept);
    CHECK(folder.job().title == "10");
}

TEST_CASE("a changed layout is saved, undone and done again with its job") {
    const Scratch scratch;
    Job job;
    job.layout = "one\n";
    auto folder = Folder::create(scratch / "job", job);
    Job next = folder.job();
    next.layout = "two\n";
    folder.save(next, "layout");
    CHECK(text_of(scratch / "job/layout.toml") == "two\n");
    folder.undo();
    CHECK(text_of(scratch / "job/layout.toml") == "one\n");
    CHECK(Folder::open(scratch / "job").job().layout == "one\n");
    folder.redo();
    CHECK(text_of(scratch / "job/layout.toml") == "two\n");
    CHECK(Folder::open(scratch / "job").remarks().empty());
}

TEST_CASE("a layout edited by hand counts, and is said") {
    const Scratch scratch;
    Job job;
    job.layout = "one\n";
    { auto folder = Folder::create(scratch / "job", job); }
    scratch.put("job/layout.toml", "by hand\n");
    auto folder = Folder::open(scratch / "job", to_change);
    CHECK(folder.job().layout == "by hand\n");
    REQUIRE(folder.remarks().size() == 1);
    CHECK(mentions(folder.remarks()[0], "changed by hand"));
    folder.save(folder.job(), "kept");
    CHECK(Folder::open(scratch / "job").remarks().empty());
    CHECK(text_of(scratch / "job/layout.toml") == "by hand\n");
}

TEST_CASE("a save that stopped between layout and job leaves the job before it") {
    const Scratch scratch;
    Job job;
    job.layout = "one\n";
    auto folder = Folder::create(scratch / "job", job);
    const std::string before = text_of(scratch / "job/job.json");
    Job next = folder.job();
    next.layout = "two\n";
    folder.save(next, "layout");
    scratch.put("job/job.json", before);  // as if the program had died before its last step
    const auto again = Folder::open(scratch / "job");
    CHECK(again.job().layout == "one\n");
    CHECK(again.job().revision == 1);
}

TEST_CASE("a lost layout makes a job read-only, not lost") {
    const Scratch scratch;
    Job job;
    job.layout = "one\n";
    { auto folder = Folder::create(scratch / "job", job); }
    fs::remove(scratch / "job/layout.toml");
    const auto folder = Folder::open(scratch / "job", {.access = Access::change_if_possible});
    CHECK(mentions(folder.read_only(), "layout.toml is missing"));
    CHECK_THROWS_AS(Folder::open(scratch / "job", to_change), Error);
}

TEST_CASE("a damaged job.json is replaced by the last good version, and said") {
    const Scratch scratch;
    {
        auto folder = Folder::create(scratch / "job", {});
        save_titles(folder, 3);
    }
    const std::string good = text_of(scratch / "job/job.json");
    const std::string damage =
        GENERATE_COPY(as<std::string>{}, "", good.substr(0, good.size() / 2), std::string(500, '\0'),
                      "{\"schema\":1,\"id\":\"x\",\"states\":7}");
    scratch.put("job/job.json", damage);
    auto folder = Folder::open(scratch / "job", to_change);
    CHECK(folder.job().title == "2");
    REQUIRE(folder.remarks().size() == 1);
    CHECK(mentions(folder.remarks()[0], "job.json is damaged"));
    CHECK(mentions(folder.remarks()[0], "title 2"));

    SECTION("saving keeps the damaged file aside") {
        folder.save(titled(folder.job(), "after"), "after");
        CHECK(Folder::open(scratch / "job").remarks().empty());
        CHECK(Folder::open(scratch / "job").job().title == "after");
        bool aside = false;
        for (const auto& entry : fs::directory_iterator(scratch / "job/history"))
            aside = aside || text_of(entry.path()) == damage;
        CHECK(aside);
        CHECK(folder.undo() == "after");
        CHECK(folder.job().title == "2");
    }
    SECTION("undoing goes on from the recovered version") {
        CHECK(folder.undo() == "title 2");
        CHECK(folder.job().title == "1");
        CHECK(folder.redo() == "title 2");
        CHECK(Folder::open(scratch / "job").job().title == "2");
    }
}

TEST_CASE("a missing job.json is recovered from history too") {
    const Scratch scratch;
    {
        auto folder = Folder::create(scratch / "job", {});
        save_titles(folder, 2);
    }
    fs::remove(scratch / "job/job.json");
    CHECK(Folder::open(scratch / "job").job().title == "1");
}

TEST_CASE("without any good version the error says that the recordings are safe") {
    const Scratch scratch;
    { auto folder = Folder::create(scratch / "job", {}); }
    scratch.put("job/job.json", "{");
    CHECK(mentions(error_of([&] { (void)Folder::open(scratch / "job"); }), "recordings are untouched"));
}

TEST_CASE("what is no job is not opened and not written into") {
    const Scratch scratch;
    fs::create_directory(scratch / "photos");
    CHECK(mentions(error_of([&] { (void)Folder::open(scratch / "photos", to_change); }), "no job here"));
    CHECK(fs::is_empty(scratch / "photos"));
    CHECK(mentions(error_of([&] { (void)Folder::open(scratch / "nothing"); }), "no such job"));
    scratch.put("file", "x");
    CHECK(mentions(error_of([&] { (void)Folder::open(scratch / "file"); }), "a job is a folder"));
}

TEST_CASE("a second program is told who has the job open") {
    const Scratch scratch;
    auto first = Folder::create(scratch / "job", {}, "the first program");
    const std::string error = error_of([&] { (void)Folder::open(scratch / "job", to_change); });
    CHECK(mentions(error, "open in the first program (process " + std::to_string(::getpid())));
    const auto looking = Folder::open(scratch / "job", {.access = Access::change_if_possible});
    CHECK(mentions(looking.read_only(), "the first program"));
    CHECK_NOTHROW(Folder::open(scratch / "job"));
    { const auto let_go = std::move(first); }
    CHECK_NOTHROW(Folder::open(scratch / "job", to_change));
}

TEST_CASE("a job opened to read is not written") {
    const Scratch scratch;
    { auto folder = Folder::create(scratch / "job", {}); }
    const auto before = text_of(scratch / "job/job.json");
    auto folder = Folder::open(scratch / "job");
    CHECK_THROWS_AS(folder.save(folder.job(), "x"), Error);
    CHECK_THROWS_AS(folder.undo(), Error);
    CHECK(text_of(scratch / "job/job.json") == before);
}

TEST_CASE("a job of a newer schema is shown, not changed") {
    const Scratch scratch;
    { auto folder = Folder::create(scratch / "job", {}); }
    scratch.put("job/job.json", R"({"schema":2,"id":"00","title":"tomorrow"})");
    const auto folder = Folder::open(scratch / "job", {.access = Access::change_if_possible});
    CHECK(folder.job().title == "tomorrow");
    CHECK(mentions(folder.read_only(), "newer cranknote"));
}

TEST_CASE("a hand's edit under an open program is not overwritten") {
    const Scratch scratch;
    auto folder = Folder::create(scratch / "job", {});
    const std::string edited = R"({"schema":1,"id":"00","title":"by hand"})";
    scratch.put("job/job.json", edited);
    CHECK(mentions(error_of([&] { folder.save(folder.job(), "x"); }), "changed by another program"));
    CHECK(text_of(scratch / "job/job.json") == edited);
}

TEST_CASE("what could not be read back is not saved") {
    const Scratch scratch;
    auto folder = Folder::create(scratch / "job", {});
    Job bad = folder.job();
    bad.recordings.push_back({});
    CHECK_THROWS_AS(folder.save(bad, "x"), Error);
    CHECK(folder.job().recordings.empty());
    CHECK(Folder::open(scratch / "job").job().revision == 1);
}

TEST_CASE("leavings of a killed program are swept away") {
    const Scratch scratch;
    { auto folder = Folder::create(scratch / "job", {}); }
    const std::string name = std::string(temporary_prefix) + "left";
    scratch.put("job/" + name, "x");
    scratch.put("job/recordings/" + name, "x");
    auto folder = Folder::open(scratch / "job", to_change);
    CHECK_FALSE(fs::exists(scratch / ("job/" + name)));
    CHECK_FALSE(fs::exists(scratch / ("job/recordings/" + name)));
}

TEST_CASE("a subfolder that is a link to elsewhere is refused") {
    const Scratch scratch;
    { auto folder = Folder::create(scratch / "job", {}); }
    fs::create_directory(scratch / "elsewhere");
    fs::remove(scratch / "job/recordings");
    fs::create_directory_symlink(scratch / "elsewhere", scratch / "job/recordings");
    CHECK(mentions(error_of([&] { (void)Folder::open(scratch / "job", to_change); }), "leads out"));
}

TEST_CASE("odd names are names like others") {
    const Scratch scratch;
    const std::string name = GENERATE(as<std::string>{}, "Ölwanne undicht", "🔧 job", "-rf", "a'b\"c",
                                      "tab\there", std::string(255, 'x'), "latin1-\xe4\xf6");
    auto folder = Folder::create(scratch / name, {});
    folder.save(titled(folder.job(), "t"), "t");
    CHECK(Folder::open(scratch / name).job().title == "t");
}

}  // namespace cranknote::job
