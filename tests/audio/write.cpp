// Clips out: what is written is what was given, whole or not at all.
#include "audio/write.hpp"

#include <catch2/catch.hpp>
#include <fstream>

#include "audio/decode.hpp"
#include "audio/shell.hpp"
#include "audio/test_signal.hpp"
#include "temp_folder.hpp"
#include "units/error.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

Recording tone(SampleRate rate, std::size_t channels, double amplitude = 1.0) {
    Recording r;
    r.rate = rate;
    r.channels.resize(channels);
    for (std::size_t c = 0; c < channels; ++c)
        for (int i = 0; i < 20000; ++i)
            r.channels[c].push_back(static_cast<float>(amplitude * test_signal(c, i / rate.value())));
    return r;
}

double worst(const Recording& a, const Recording& b) {
    double w = 0;
    for (std::size_t c = 0; c < a.channels.size(); ++c)
        for (std::size_t i = 0; i < a.samples(); ++i)
            w = std::max<double>(w, std::abs(a.channels[c][i] - b.channels[c][i]));
    return w;
}

std::size_t files_in(const std::string& folder) {
    return static_cast<std::size_t>(std::distance(std::filesystem::directory_iterator(folder), {}));
}

}  // namespace

TEST_CASE("what was written reads back") {
    const TempFolder folder;
    const struct {
        const char* name;
        bool flac;
        SampleCoding coding;
        int bits;
        double step;
    } all[] = {{"16.wav", false, SampleCoding::pcm16, 16, 1.0 / 32768},
               {"24.wav", false, SampleCoding::pcm24, 24, 1.0 / 8388608},
               {"f.wav", false, SampleCoding::float32, 32, 0},
               {"16.flac", true, SampleCoding::pcm16, 16, 1.0 / 32768},
               {"24.flac", true, SampleCoding::pcm24, 24, 1.0 / 8388608}};
    for (const auto& a : all)
        for (const std::size_t channels : {1U, 2U, 8U}) {
            INFO(a.name << " " << channels);
            const auto r = tone(SampleRate{48000}, channels);
            const auto path = folder.file(a.name);
            if (a.flac)
                write_flac(path, r, a.coding);
            else
                write_wav(path, r, a.coding);
            const auto back = read_stretch(path);
            CHECK(back.info.bits == a.bits);
            CHECK(back.recording.rate == r.rate);
            CHECK(back.recording.samples() == r.samples());
            REQUIRE(back.recording.channels.size() == channels);
            CHECK_THAT(worst(r, back.recording),
                       within(0, 2 * a.step + 1e-12, "rounding, and scaling by one step in full scale"));
            CHECK_FALSE(back.damage);
        }
    CHECK(files_in(folder.file("")) == 5);
}

TEST_CASE("too loud is cut off, not wrapped; what is no number is silence") {
    const TempFolder folder;
    auto r = tone(SampleRate{8000}, 1, 3.0);
    r.channels[0][5] = NAN;
    r.channels[0][6] = 100.0F;
    write_wav(folder.file("loud.wav"), r);
    const auto x = read_stretch(folder.file("loud.wav")).recording.channels[0];
    CHECK(x[5] == 0.0F);
    CHECK_THAT(x[6], within(1.0, 1.0 / 16384, "largest 16-bit value"));
    for (std::size_t i = 0; i < x.size(); ++i)
        if (r.channels[0][i] > 1.0F)
            CHECK(x[i] > 0.99F);
        else if (r.channels[0][i] < -1.0F)
            CHECK(x[i] < -0.99F);
}

TEST_CASE("what cannot be written says so and leaves what was there") {
    const TempFolder folder;
    const auto r = tone(SampleRate{8000}, 1);
    CHECK_THROWS_WITH(write_wav(folder.file("none/a.wav"), r),
                      folder.file("none/a.wav") + ": the folder is not there (make the folder first)");
    CHECK_THROWS_WITH(write_wav(folder.file("a.wav"), Recording{SampleRate{8000}, {}}),
                      Catch::Contains("there is no sound to write"));
    CHECK_THROWS_WITH(write_flac(folder.file("a.flac"), r, SampleCoding::float32),
                      Catch::Contains("FLAC holds no float samples"));
    CHECK_THROWS_WITH(write_wav(folder.file("a.wav"), tone(SampleRate{8000}, 9)),
                      Catch::Contains("more than 8 channels"));
    auto uneven = tone(SampleRate{8000}, 2);
    uneven.channels[1].pop_back();
    CHECK_THROWS_WITH(write_wav(folder.file("a.wav"), uneven), Catch::Contains("unlike length"));
    CHECK(files_in(folder.file("")) == 0);
    std::filesystem::create_directory(folder.file("taken"));
    CHECK_THROWS_WITH(write_wav(folder.file("taken"), r), Catch::Contains("a folder has that name"));
    CHECK(files_in(folder.file("")) == 1);
}

TEST_CASE("a full disk is said, and nothing is left behind") {
    // /dev/full cannot be renamed onto; a limit on the file size stands for the full disk elsewhere.
    const TempFolder folder;
    const auto path = folder.file("a.wav");
    std::ofstream(path) << "old";
    if (!runs("mount -t tmpfs -o size=16k none '" + folder.file("") + "'")) {
        WARN("no right to mount a small disk: not tested");
        return;
    }
    std::string message;
    try {
        write_wav(path, tone(SampleRate{48000}, 2));
    } catch (const Error& e) {
        message = e.what();
    }
    const auto left = files_in(folder.file(""));
    CHECK(runs("umount '" + folder.file("") + "'"));
    CHECK(message == path + ": there is no room left on the disk (free some space and save again)");
    CHECK(left == 0);
}
