// Broken input, each file named by its defect: an error that names it, or what there is with a remark.
#include <fcntl.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>
#include <catch2/catch.hpp>

#include <cstring>
#include <filesystem>
#include <fstream>
#include <set>

#include "audio/decode.hpp"
#include "audio/test_signal.hpp"
#include "temp_folder.hpp"
#include "units/error.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

struct Refused {
    const char* name;
    const char* message;
};

const Refused refused[] = {
    {"empty.wav",
     "the file is empty (copy it from the phone again; the copy or the recording was broken off)"},
    {"text.wav", "not a sound file but text (name the recording itself)"},
    {"picture.wav", "not a sound file but a picture (name the recording itself)"},
    {"playlist.wav",
     "not a sound file but a playlist that only names other files (name the recording itself)"},
    {"concat.wav", "not a sound file but a playlist that only names other files (name the recording itself)"},
    {"noise.wav",
     "not a sound file that can be read, or its beginning or its index is missing (copy the file again; if "
     "the "
     "recording was broken off, record again)"},
    {"truncated_header.wav",
     "its header or its sound is broken: Error in WAV file. No 'data' chunk marker (copy the file again)"},
    {"zero_channels.wav", "its header says it has no channels (copy or record the file again)"},
    {"nine_channels.wav", "it has 9 channels, more than 8 (export the microphone's channels alone)"},
    {"low_rate.wav", "its sample rate of 4000 Hz is below 8000 Hz (record at 44100 or 48000 Hz)"},
    {"high_rate.wav", "its sample rate of 384000 Hz is above 192000 Hz (record at 44100 or 48000 Hz)"},
    {"no_samples.wav", "it holds no sound (record or copy it again)"},
    {"no_index.m4a",
     "not a sound file that can be read, or its beginning or its index is missing (copy the file again; if "
     "the "
     "recording was broken off, record again)"},
    {"absurd_table.m4a",
     "not a sound file that can be read, or its beginning or its index is missing (copy the file again; if "
     "the "
     "recording was broken off, record again)"},
    {"silent_film.mp4", "a video without sound (record again with the microphone on)"},
};

struct Damaged {
    const char* name;
    double earliest_s, latest_s;  // where the sound may end: the damage, and a block before it
    const char* damage;
};

// The cuts are at 2/3 of the bytes, the damage at 0.6 of them; a block is at most 0.2 s long.
const Damaged damaged[] = {
    {"truncated.wav", 0.5, 0.5,
     "the file breaks off at 0.5 s: its header promises more than the file holds; read up to there"},
    {"claims_two_gigabytes.wav", 1.0, 1.0,
     "the file breaks off at 1.0 s: its header promises more than the file holds; read up to there"},
    {"truncated.flac", 0.75, 1.05, "what follows is damaged; read up to there"},
    {"broken_middle.flac", 0.65, 0.95, "what follows is damaged; read up to there"},
    {"claims_weeks.flac", 1.5, 1.5,
     "the file breaks off at 1.5 s: its header promises more than the file holds; read up to there"},
    {"truncated.ogg", 0.5, 1.05, "what follows is missing or damaged; read up to there"},
    {"broken_middle.ogg", 0.4, 0.95, "what follows is missing or damaged; read up to there"},
    {"truncated.mp3", 0.8, 1.05, "its header promises more than the file holds; read up to there"},
    {"truncated.m4a", 0.8, 1.05, "what follows is damaged; read up to there"},
    {"broken_middle.m4a", 0.6, 0.95, "what follows is damaged; read up to there"},
    {"truncated.amr", 1.46, 1.48, "what follows is damaged; read up to there"},
    {"truncated.webm", 0.5, 0.9, "its header promises more than the file holds; read up to there"},
    {"truncated.opus", 0.3, 0.8, "what follows is missing or damaged; read up to there"},
    {"truncated.wma", 0.5, 0.9, "what follows is damaged; read up to there"},
};

/// Does something as a user without rights; the result's message comes back.
std::string as_nobody(const std::function<void()>& action) {
    int ends[2];
    REQUIRE(pipe(ends) == 0);
    const pid_t child = fork();
    if (child == 0) {
        std::string message = "done";
        if (geteuid() == 0 && seteuid(65534) != 0)
            message = "could not become nobody";
        else
            try {
                action();
            } catch (const std::exception& e) {
                message = e.what();
            }
        (void)!write(ends[1], message.data(), message.size());
        _exit(0);
    }
    close(ends[1]);
    std::string message(1000, '\0');
    const auto n = read(ends[0], message.data(), message.size());
    close(ends[0]);
    waitpid(child, nullptr, 0);
    message.resize(n > 0 ? static_cast<std::size_t>(n) : 0);
    return message;
}

}  // namespace

TEST_CASE("what cannot be read is refused with its name, the trouble and what to do") {
    for (const auto& want : refused) {
        const auto path = data_file(std::string("bad/") + want.name);
        CHECK_THROWS_WITH(read_stretch(path), path + ": " + want.message);
    }
}

TEST_CASE("what breaks off is read up to there, and said") {
    for (const auto& want : damaged) {
        INFO(want.name);
        const auto got = read_stretch(data_file(std::string("bad/") + want.name));
        REQUIRE(got.damage);
        CHECK_THAT(*got.damage, Catch::Contains(want.damage));
        REQUIRE(got.broken_at);
        CHECK(got.broken_at->value() >= want.earliest_s);
        CHECK(got.broken_at->value() <= want.latest_s);
        CHECK(got.recording.duration() == *got.broken_at);
        // What was read is the sound, up to shortly before the break.
        const auto& x = got.recording.channels.front();
        const double level =
            db(tone_amplitude(x, got.recording.rate, tone_hz(0), 0.05, std::min(0.45, want.earliest_s)));
        CHECK_THAT(level, within(-6.02, got.info.codec == "amr-nb" ? 4.0 : 0.6, "as for the whole files"));
    }
}

TEST_CASE("the lists of bad sound files are the folder's") {
    std::set<std::string> in_folder, in_list{"not_numbers.wav", "killed_writer.wav", "left_out.amr"};
    for (const auto& e : std::filesystem::directory_iterator(data_file("bad")))
        if (e.path().extension() != ".toml")  // broken layouts lie here too; tests/layout has their list
            in_folder.insert(e.path().filename());
    for (const auto& want : refused) in_list.insert(want.name);
    for (const auto& want : damaged) in_list.insert(want.name);
    CHECK(in_folder == in_list);
}

TEST_CASE("a file whose writer was killed before it knew the length is read to its end") {
    const auto got = read_stretch(data_file("bad/killed_writer.wav"));
    CHECK(got.recording.samples() == 8000);
    CHECK_FALSE(got.damage);
}

TEST_CASE("samples that are not numbers become silence, and it is said") {
    const auto got = read_stretch(data_file("bad/not_numbers.wav"));
    const auto& x = got.recording.channels.front();
    REQUIRE(x.size() == 4006);
    CHECK(std::vector<float>(x.begin(), x.begin() + 7) ==
          std::vector<float>{0.25F, 0, 0, -0.25F, 0, 0, 0.1F});
    CHECK(got.damage == "4 samples from 0.0 s on are not numbers and were set to silence");
    CHECK_FALSE(got.broken_at);
}

TEST_CASE("what a voice coder took for silence keeps its time, and it is said") {
    // 10 frames of sound, then 5 that say "no speech" (one of 6 bytes, four of 1), then 10 of sound.
    const auto got = read_stretch(data_file("bad/left_out.amr"));
    const auto& x = got.recording.channels.front();
    REQUIRE(x.size() == 25 * 160);
    CHECK(std::all_of(x.begin() + 1600, x.begin() + 2400, [](float v) { return v == 0.0F; }));
    CHECK(tone_amplitude(x, got.recording.rate, 1000, 0.35, 0.5) > 0.2);
    CHECK(got.damage == "the voice coder left out 0.1 s as if they were silence");
    CHECK_FALSE(got.broken_at);
}

TEST_CASE("an absurd promise is no length") {
    CHECK_FALSE(SoundFile::open(data_file("bad/claims_weeks.flac")).info().duration);
}

TEST_CASE("what is not an ordinary file is refused at once") {
    const TempFolder folder;
    CHECK_THROWS_WITH(read_stretch(folder.file("none.wav")),
                      Catch::EndsWith("none.wav: there is no such file (check the name and the folder)"));
    CHECK_THROWS_WITH(read_stretch(folder.file("")), Catch::Contains("a folder, not a sound file"));
    REQUIRE(mkfifo(folder.file("pipe.wav").c_str(), 0600) == 0);
    CHECK_THROWS_WITH(read_stretch(folder.file("pipe.wav")),
                      Catch::Contains("not an ordinary file (a pipe or a device)"));
    CHECK_THROWS_WITH(read_stretch("/dev/zero"),
                      Catch::Contains("not an ordinary file (a pipe or a device)"));
    CHECK_THROWS_WITH(read_stretch(""), Catch::Contains("no file was named"));
    CHECK_THROWS_WITH(read_stretch(folder.file(std::string(300, 'x'))),
                      Catch::Contains("the name is too long"));
    CHECK_THROWS_WITH(read_stretch(data_file("good/stereo.flac") + "/x"),
                      Catch::Contains("there is no such file"));
}

TEST_CASE("a file without the right to read it") {
    const TempFolder folder;
    const auto path = folder.file("locked.wav");
    std::filesystem::copy_file(data_file("good/pcm16.caf"), path);
    REQUIRE(chmod(folder.file("").c_str(), 0755) == 0);
    REQUIRE(chmod(path.c_str(), 0) == 0);
    CHECK(as_nobody([&] { (void)read_stretch(path); }) ==
          path + ": no right to read it (change the file's rights, or copy it)");
}

TEST_CASE("odd names are only names") {
    const TempFolder folder;
    for (const std::string name : {"-i.wav", "http:x.wav", "concat:a|b.wav",
                                   "Motor läuft \xF0\x9F\x94\xA7.wav", "a\nb.wav", "%d.wav", "pipe:0"}) {
        std::filesystem::copy_file(data_file("good/stereo.m4a"), folder.file(name));
        CHECK(read_stretch(folder.file(name)).recording.samples() == 66150);
    }
}

TEST_CASE("every file cut at every length ends in an error or in less sound, never in a crash") {
    for (const auto& entry : std::filesystem::directory_iterator(data_file("good"))) {
        std::ifstream in(entry.path(), std::ios::binary);
        const std::string whole((std::istreambuf_iterator<char>(in)), {});
        for (std::size_t cut = 1; cut < whole.size(); cut += 1 + cut / 3) {
            INFO(entry.path() << " cut at " << cut);
            const auto bytes = std::as_bytes(std::span(whole).first(cut));
            try {
                auto file = SoundFile::open_memory(bytes, "cut");
                CHECK(file.skip(1'000'000) <= 80'000);
            } catch (const Error& e) {
                CHECK_FALSE(e.trouble.empty());
                CHECK_FALSE(e.advice.empty());
                CHECK(e.where == "cut");
            }
        }
    }
}
