// A recording that is cut off at any moment, by kill -9 or a full disk, opens and holds what came before.
#include "audio/growing_wav.hpp"

#include <signal.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>
#include <catch2/catch.hpp>

#include <random>

#include "audio/decode.hpp"
#include "audio/shell.hpp"
#include "temp_folder.hpp"
#include "units/error.hpp"

using namespace cranknote;
using namespace cranknote::test;

TEST_CASE("a growing file opens at every moment") {
    const TempFolder folder;
    const auto path = folder.file("grow.wav");
    GrowingWav file(path, SampleRate{48000}, 2);
    for (int i = 0; i < 30; ++i) {
        file.append(std::vector<float>(200, static_cast<float>(i) / 100));
        const auto got = read_stretch(path);
        REQUIRE(got.recording.samples() == static_cast<std::size_t>(i + 1) * 100);
        REQUIRE(got.recording.channels[1].back() == static_cast<float>(i) / 100);
        REQUIRE_FALSE(got.damage);
        REQUIRE(got.info.codec == "float");
    }
    CHECK(file.frames() == 3000);
}

TEST_CASE("a recording is never written over") {
    const TempFolder folder;
    const auto path = folder.file("there.wav");
    {
        GrowingWav first(path, SampleRate{48000}, 1);
        first.append(std::vector<float>(100, 0.5F));
    }
    CHECK_THROWS_WITH(
        GrowingWav(path, SampleRate{48000}, 1),
        path + ": a file of that name is there already (choose another name; nothing was written over)");
    CHECK(read_stretch(path).recording.samples() == 100);
    CHECK_THROWS_WITH(GrowingWav(folder.file("no/a.wav"), SampleRate{48000}, 1),
                      Catch::Contains("the folder is not there"));
    CHECK_THROWS_WITH(GrowingWav(folder.file("a.wav"), SampleRate{48000}, 0),
                      Catch::Contains("1 to 8 channels"));
}

TEST_CASE("kill -9 at any moment of writing leaves a file that opens") {
    const TempFolder folder;
    std::mt19937 random(11);
    for (int round = 0; round < 60; ++round) {
        const auto path = folder.file("killed" + std::to_string(round) + ".wav");
        const pid_t child = fork();
        if (child == 0) {
            GrowingWav file(path, SampleRate{48000}, 1);
            float value = 0;
            for (;;) {  // counts up, so that every sample tells its place
                std::vector<float> block(1000);
                for (auto& x : block) x = value += 1.0F / 8388608;
                file.append(block);
            }
        }
        usleep(static_cast<useconds_t>(500 + random() % 8000));
        kill(child, SIGKILL);
        waitpid(child, nullptr, 0);
        struct stat s {};
        if (stat(path.c_str(), &s) != 0 || s.st_size == 0) continue;  // killed before it began
        try {
            const auto got = read_stretch(path).recording.channels[0];
            // The header is brought up to date after each block: what is in the file beyond it is one block.
            CHECK(static_cast<long>(got.size()) >= (s.st_size - 200) / 4 - 1000);
            bool counts = true;
            for (std::size_t i = 0; i < got.size(); ++i)
                counts = counts && got[i] == static_cast<float>(i + 1) / 8388608;
            CHECK(counts);
        } catch (const Error& e) {
            CHECK_THAT(e.what(), Catch::Contains("it holds no sound"));  // killed before the first block
            CHECK(s.st_size < 5000);
        }
    }
}

TEST_CASE("a full disk ends a recording with what fits") {
    const TempFolder folder;
    if (!runs("mount -t tmpfs -o size=64k none '" + folder.file("") + "'")) {
        WARN("no right to mount a small disk: not tested");
        return;
    }
    std::string message;
    std::size_t kept = 0;
    try {
        GrowingWav file(folder.file("a.wav"), SampleRate{48000}, 1);
        for (int i = 0; i < 100; ++i) file.append(std::vector<float>(1000, 0.25F));
    } catch (const Error& e) {
        message = e.what();
    }
    try {
        kept = read_stretch(folder.file("a.wav")).recording.samples();
    } catch (const Error&) {
    }
    CHECK(runs("umount '" + folder.file("") + "'"));
    CHECK_THAT(message,
               Catch::EndsWith("there is no room left on the disk (free some space and save again)"));
    CHECK(kept >= 15000);
}
