// Kill -9 at random moments of saving, adding and recording: the job always opens, with the last complete
// state or the one before. CRANKNOTE_KILLS=500 sets how many moments (60 without), CRANKNOTE_KILL_SEED the
// seed.
#include <fcntl.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <cstdlib>
#include <functional>
#include <random>
#include <sstream>

#include "audio/decode.hpp"
#include "audio/growing_wav.hpp"
#include "cli/sound.hpp"
#include "job/add.hpp"
#include "job/evidence.hpp"
#include "job/folder.hpp"
#include "job/scratch.hpp"
#include "job/small_layout.hpp"
#include "job/verify.hpp"
#include "units/error.hpp"

namespace cranknote::job {
using test::Scratch;
using test::text_of;
namespace fs = std::filesystem;

namespace {

int from_environment(const char* name, int otherwise) {
    const char* text = std::getenv(name);
    return text == nullptr ? otherwise : std::atoi(text);
}

/// The moments of one of three tests.
int rounds() { return std::max(1, from_environment("CRANKNOTE_KILLS", 60) / 3); }

/// What a child says of its way: "to X" before it goes to a state, "at X" when it is there.
class Log {
  public:
    explicit Log(const fs::path& file) : fd_(::open(file.c_str(), O_WRONLY | O_CREAT | O_APPEND, 0600)) {}
    void say(const std::string& word, const std::string& state) const {
        const std::string line = word + " " + state + "\n";
        (void)!::write(fd_, line.data(), line.size());
    }

  private:
    int fd_;
};

/// The states that may be found after the kill, and how far the child came.
struct Possible {
    std::string reached = "none", going_to = "none";
    int steps = 0;
};

Possible possible(const fs::path& log) {
    Possible p;
    std::istringstream lines(text_of(log));
    for (std::string word, state; lines >> word >> state;) {
        (word == "at" ? p.reached : p.going_to) = state;
        p.steps += word == "at";
    }
    return p;
}

/// How many words of "at" a child has said.
int steps_in(const fs::path& log) { return fs::exists(log) ? possible(log).steps : 0; }

/// Runs `work` in a child and kills it at a random moment: so many steps and microseconds after it began.
/// Counted in steps, because a busy machine gives it little time.
void kill_in(const fs::path& log, std::mt19937& random, const std::function<void()>& work) {
    const int steps = 1 + static_cast<int>(random() % 6);
    const auto microseconds = static_cast<unsigned>(random() % 4000);
    const pid_t child = ::fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        try {
            work();
        } catch (...) {
        }
        ::_exit(0);  // without the tests' own end
    }
    constexpr int longest_wait = 120'000;  // half a millisecond each: a minute
    for (int i = 0; i < longest_wait && steps_in(log) < steps; ++i) ::usleep(500);
    ::usleep(microseconds);
    ::kill(child, SIGKILL);
    ::waitpid(child, nullptr, 0);
    REQUIRE(steps_in(log) >= steps);
}

/// What a job says of itself: its title and which layout it has.
std::string state_of(const Job& job) {
    return job.title.value_or("none") + "/" + (job.layout ? sha256_of(*job.layout).substr(0, 8) : "none");
}

/// After any kill: opens without damage, can be changed, and holds nothing half.
void check_open(const fs::path& path, const Possible& p, const std::string& state) {
    INFO("reached " << p.reached << ", going to " << p.going_to << ", found " << state);
    CHECK((state == p.reached || state == p.going_to));
    const auto folder = Folder::open(path, {.access = Access::change});
    for (const auto& remark : folder.remarks()) CHECK(remark.find("damaged") == remark.npos);
    for (const auto& entry : fs::recursive_directory_iterator(path))
        CHECK_FALSE(entry.path().filename().string().starts_with(temporary_prefix));
    const auto v = verify(path);
    CHECK(v->whole);
}

/// Saves, undoes and does again for ever, with a new layout now and then.
void change_for_ever(const fs::path& path, const Log& log) {
    auto folder = Folder::open(path, {.access = Access::change});
    log.say("at", state_of(folder.job()));
    for (int i = 0;; ++i) {
        Job next = folder.job();
        next.title = std::to_string(i);
        if (i % 3 == 0) *next.layout += "# " + std::to_string(i) + "\n";
        const auto before = state_of(folder.job()), after = state_of(next);
        log.say("to", after);
        folder.save(std::move(next), "title");
        log.say("at", after);
        if (i % 2 == 0) continue;
        log.say("to", before);
        folder.undo();
        log.say("at", before);
        log.say("to", after);
        folder.redo();
        log.say("at", after);
    }
}

/// Adds one file after the other.
void add_for_ever(const Scratch& scratch, const Log& log) {
    auto folder = Folder::open(scratch / "job", {.access = Access::change});
    const Layout layout = layout_of(folder.job());
    log.say("at", "0");
    for (int i = 1;; ++i) {
        const auto file = scratch.put("sound.wav", std::string(300'000, 'x') + std::to_string(i));
        Addition a;
        a.state = "as found";
        log.say("to", std::to_string(i));
        (void)add_file(folder, layout, file, a);
        log.say("at", std::to_string(i));
    }
}

std::mt19937 dice() {
    return std::mt19937(static_cast<unsigned>(from_environment("CRANKNOTE_KILL_SEED", 7)));
}

}  // namespace

TEST_CASE("kill -9 in saving, undoing and doing again") {
    auto random = dice();
    for (int round = 0; round < rounds(); ++round) {
        const Scratch scratch;
        Job job;
        job.layout = std::string(test::small_layout);
        { (void)Folder::create(scratch / "job", job); }
        kill_in(scratch / "log", random, [&] { change_for_ever(scratch / "job", Log(scratch / "log")); });
        const auto p = possible(scratch / "log");
        check_open(scratch / "job", p, state_of(Folder::open(scratch / "job").job()));
    }
}

TEST_CASE("kill -9 in adding") {
    auto random = dice();
    for (int round = 0; round < rounds(); ++round) {
        const Scratch scratch;
        Job job;
        job.cylinders = 4;
        { (void)Folder::create(scratch / "job", job); }
        kill_in(scratch / "log", random, [&] { add_for_ever(scratch, Log(scratch / "log")); });
        const auto p = possible(scratch / "log");
        const auto count = Folder::open(scratch / "job").job().recordings.size();
        check_open(scratch / "job", p, std::to_string(count));
    }
}

TEST_CASE("kill -9 in recording into a job's folder") {
    auto random = dice();
    std::size_t samples = 0;
    constexpr std::size_t block = 1000;
    for (int round = 0; round < rounds(); ++round) {
        const Scratch scratch;
        Job job;
        job.cylinders = 4;
        { (void)Folder::create(scratch / "job", job); }
        const auto path = scratch / "job/recordings/now.wav";
        kill_in(scratch / "log", random, [&] {
            GrowingWav file(path.string(), SampleRate{48000}, 1);
            const Log log(scratch / "log");
            for (std::size_t at = block;; at += block) {
                file.append(std::vector<float>(block, 0.25F));
                log.say("at", std::to_string(at));
            }
        });
        const auto said = std::stoul(possible(scratch / "log").reached);
        const auto got = read_stretch(path.string()).recording.channels.at(0);
        samples += got.size();
        CHECK(got.size() >= said);  // far less than a second is lost: what was said to be written is there
        CHECK(got.size() <= said + block);
        CHECK(std::ranges::all_of(got, [](float x) { return x == 0.25F; }));
        // The job opens, and the recording can be added to it.
        auto folder = Folder::open(scratch / "job", {.access = Access::change});
        Addition a;
        a.state = "as found";
        CHECK(add_file(folder, layout_of(folder.job()), path, a));
        CHECK(verify(scratch / "job")->whole);
    }
    CHECK(samples > block * static_cast<std::size_t>(rounds()));
}

}  // namespace cranknote::job
