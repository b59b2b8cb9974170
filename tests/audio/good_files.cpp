// Every kind of file that is read comes back with its level, length, timing and channels.
#include <catch2/catch.hpp>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <set>

#include "audio/decode.hpp"
#include "audio/test_signal.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

/// What a committed file must give. `loss_db`: what its encoder may do to a tone; `late`: delay in samples
/// that its container does not tell; `short_by`: samples that its decoder cannot give.
struct Expected {
    const char* name;
    const char* container;
    const char* codec;
    double rate;
    int channels;
    int bits;
    std::size_t samples;
    double level_db;
    double loss_db;
    const char* why;
    int late = 0;
    int late_tolerance = 0;
};

// Lengths are 1.5 s (0.25 s, 0.05 s) times the rate: the signal that was encoded.
// The 0.5 tone is at -6.02 dB re full scale.
const Expected all_files[] = {
    {"pcm16_stereo.wav", "wav", "pcm", 22050, 2, 16, 33075, -6.02, 0.01, "16-bit rounding and 6 digits"},
    {"pcm24_8000.wav", "wav", "pcm", 8000, 1, 24, 12000, -6.02, 0.01, "24-bit rounding"},
    {"float_192000.wav", "wav", "float", 192000, 1, 32, 9600, -6.02, 0.01, "float"},
    {"eight_channels.wav", "wav", "pcm", 16000, 8, 16, 4000, -6.02, 0.01, "16-bit rounding"},
    {"pcm16.aiff", "aiff", "pcm", 16000, 1, 16, 24000, -6.02, 0.01, "16-bit rounding"},
    {"pcm16.caf", "caf", "pcm", 16000, 1, 16, 24000, -6.02, 0.01, "16-bit rounding"},
    {"stereo.flac", "flac", "pcm", 16000, 2, 16, 24000, -6.02, 0.01, "16-bit rounding"},
    {"lossless.m4a", "mp4", "alac", 16000, 1, 16, 24000, -6.02, 0.01, "16-bit rounding"},
    {"camera.mov", "mp4", "pcm", 16000, 1, 16, 24000, -6.02, 0.01, "16-bit rounding"},
    {"stereo.ogg", "ogg", "vorbis", 44100, 2, 0, 66150, -6.02, 0.1, "a lossy coder keeps a lone tone"},
    {"stereo.m4a", "mp4", "aac", 44100, 2, 0, 66150, -6.02, 0.4, "two unlike channels share 96 kbit/s"},
    {"camera.mp4", "mp4", "aac", 44100, 1, 0, 66150, -6.02, 0.1, "a lossy coder keeps a lone tone"},
    {"voice.opus", "ogg", "opus", 48000, 1, 0, 72000, -6.02, 0.1, "a lossy coder keeps a lone tone", 0, 3},
    {"screen.webm", "matroska", "opus", 48000, 1, 0, 72000, -6.02, 0.1, "a lossy coder keeps a lone tone", 0,
     3},
    // The MP3 encoder turns everything down to 0.95 so as not to clip: 20 lg 0.95 = -0.45 dB.
    {"tagged.mp3", "mp3", "mp3", 44100, 1, 0, 66150, -6.47, 0.1, "a lossy coder keeps a lone tone"},
    // The last of its overlapping blocks is never given out: whole blocks of 2048.
    {"phone.wma", "asf", "wma", 44100, 1, 0, 65536, -6.02, 0.1, "a lossy coder keeps a lone tone", 0, 2048},
    // A bare stream has nowhere to tell its encoder's delay of one block (1024), nor its padding.
    {"bare.aac", "", "aac", 44100, 1, 0, 67584, -6.02, 0.1, "a lossy coder keeps a lone tone", 1024},
    // A telephone coder: the waveform is only imitated, with a delay of 5 ms in its filters. FFmpeg's decoder
    // lets a steady tone sink by up to 4 dB (the reference coder's own decoder gives -6.5 dB for this file).
    {"voice_nb.amr", "amr", "amr-nb", 8000, 1, 0, 12000, -6.02, 4.0, "FFmpeg's decoder of the speech coder",
     0, 40},
    {"voice.3gp", "mp4", "amr-nb", 8000, 1, 0, 12000, -6.02, 4.0, "FFmpeg's decoder of the speech coder", 0,
     40},
};

}  // namespace

TEST_CASE("every kind of good file comes back whole") {
    for (const auto& want : all_files) {
        INFO(want.name);
        const auto got = read_stretch(data_file(std::string("good/") + want.name));
        const auto& r = got.recording;
        if (*want.container != 0) CHECK(got.info.container == want.container);
        CHECK(got.info.codec == want.codec);
        CHECK(got.info.rate == SampleRate{want.rate});
        CHECK(got.info.channels == want.channels);
        CHECK(got.info.bits == want.bits);
        CHECK(r.samples() == want.samples);
        CHECK_FALSE(got.damage);
        CHECK_FALSE(got.broken_at);
        CHECK_FALSE(got.longer);
        REQUIRE(r.channels.size() == static_cast<std::size_t>(want.channels));
        const double until = std::min(0.45, r.duration().value());
        const double from = until > 0.3 ? 0.05 : 0.0;
        for (std::size_t c = 0; c < r.channels.size(); ++c) {
            INFO("channel " << c);
            const double level = db(tone_amplitude(r.channels[c], r.rate, tone_hz(c), from, until));
            CHECK_THAT(level, within(want.level_db, want.loss_db, want.why));
            if (static_cast<double>(want.samples) > want.rate)
                CHECK_THAT(delay_of(r.channels[c], r.rate, 2500),
                           within(want.late, want.late_tolerance, "delay that the coder itself cannot tell"));
        }
    }
}

TEST_CASE("the list of good files is the folder's") {
    std::set<std::string> in_folder, in_list;
    for (const auto& e : std::filesystem::directory_iterator(data_file("good")))
        in_folder.insert(e.path().filename());
    for (const auto& want : all_files) in_list.insert(want.name);
    CHECK(in_folder == in_list);
}

TEST_CASE("channels keep their order") {
    // Each channel's own tone is strong in it and in no other.
    for (const auto* name : {"good/pcm16_stereo.wav", "good/eight_channels.wav", "good/stereo.flac",
                             "good/stereo.ogg", "good/stereo.m4a"}) {
        INFO(name);
        const auto r = read_stretch(data_file(name)).recording;
        const double until = r.duration().value() > 0.4 ? 0.45 : 0.248;  // whole periods of all the tones
        for (std::size_t c = 0; c < r.channels.size(); ++c)
            for (std::size_t other = 0; other < r.channels.size(); ++other) {
                const double level = db(tone_amplitude(r.channels[c], r.rate, tone_hz(other), 0.048, until));
                if (other == c)
                    CHECK(level > -6.42);
                else
                    CHECK(level < -30);
            }
    }
}

TEST_CASE("lossless samples are the signal itself") {
    for (const auto* name :
         {"good/pcm16_stereo.wav", "good/stereo.flac", "good/pcm16.aiff", "good/pcm16.caf",
          "good/lossless.m4a", "good/camera.mov", "good/pcm24_8000.wav", "good/float_192000.wav"}) {
        INFO(name);
        const auto r = read_stretch(data_file(name)).recording;
        double worst = 0;
        for (std::size_t c = 0; c < r.channels.size(); ++c)
            for (std::size_t i = 0; i < r.samples(); ++i)
                worst = std::max(worst, std::abs(r.channels[c][i] -
                                                 test_signal(c, static_cast<double>(i) / r.rate.value())));
        CHECK_THAT(worst,
                   within(0, 1.6 / 32768, "half a 16-bit step, and the encoder's own rounding by one"));
    }
}

TEST_CASE("the contents decide, not the name") {
    const auto folder = std::filesystem::temp_directory_path() / "cranknote-misnamed";
    std::filesystem::create_directory(folder);
    const std::pair<const char*, const char*> names[] = {{"stereo.m4a", "a.wav"},
                                                         {"pcm16_stereo.wav", "a.mp3"},
                                                         {"voice.opus", "a.flac"},
                                                         {"stereo.flac", "a"}};
    for (const auto& [from, to] : names) {
        const auto copy = folder / to;
        std::filesystem::copy_file(data_file(std::string("good/") + from), copy,
                                   std::filesystem::copy_options::overwrite_existing);
        CHECK(read_stretch(copy).info.codec ==
              read_stretch(data_file(std::string("good/") + from)).info.codec);
    }
    std::filesystem::remove_all(folder);
}

TEST_CASE("a stretch is the same samples as in the whole") {
    for (const auto* name : {"good/pcm16_stereo.wav", "good/stereo.flac", "good/stereo.ogg",
                             "good/stereo.m4a", "good/tagged.mp3"}) {
        INFO(name);
        const auto whole = read_stretch(data_file(name)).recording;
        const auto part = read_stretch(data_file(name), {Seconds{0.3}, Seconds{0.8}}).recording;
        CHECK(part.start == Seconds{0.3});
        const auto first = static_cast<std::size_t>(std::llround(0.3 * whole.rate.value()));
        const auto count = static_cast<std::size_t>(std::llround(0.8 * whole.rate.value())) - first;
        REQUIRE(part.samples() == count);
        for (std::size_t c = 0; c < whole.channels.size(); ++c)
            CHECK(std::equal(part.channels[c].begin(), part.channels[c].end(),
                             whole.channels[c].begin() + static_cast<std::ptrdiff_t>(first)));
    }
}

TEST_CASE("stretches: ends, limits, wrong ones") {
    const auto file = data_file("good/stereo.flac");
    CHECK(read_stretch(file, {Seconds{1.0}, Seconds{99}}).recording.samples() == 8000);
    const auto limited = read_stretch(file, {std::nullopt, std::nullopt, Seconds{0.5}});
    CHECK(limited.recording.samples() == 8000);
    CHECK(limited.longer);
    CHECK_FALSE(read_stretch(file, {std::nullopt, std::nullopt, Seconds{1.5}}).longer);
    CHECK_FALSE(read_stretch(file, {std::nullopt, Seconds{0.5}}).longer);
    CHECK_THROWS_WITH(
        read_stretch(file, {Seconds{2.0}}),
        file + ": it ends before the stretch asked for begins (choose a stretch inside the file)");
    for (const auto& wrong : {Stretch{Seconds{1}, Seconds{1}}, Stretch{Seconds{-1}}, Stretch{Seconds{NAN}},
                              Stretch{{}, Seconds{NAN}}})
        CHECK_THROWS_WITH(read_stretch(file, wrong), Catch::Contains("the stretch asked for is empty"));
}

TEST_CASE("reading tells how far it is and can be stopped") {
    double last = -1;
    const auto file = data_file("good/pcm16_stereo.wav");
    (void)read_stretch(file, {}, [&](std::optional<double> share) {
        REQUIRE(share);
        CHECK(*share >= last);
        last = *share;
    });
    CHECK(last == 1.0);
    std::stop_source stop;
    stop.request_stop();
    CHECK_THROWS_AS(read_stretch(file, {}, {}, stop.get_token()), Stopped);
}

TEST_CASE("bytes in memory read like the file, in blocks of any size") {
    const auto path = data_file("good/stereo.m4a");
    std::ifstream in(path, std::ios::binary);
    const std::string text((std::istreambuf_iterator<char>(in)), {});
    const auto whole = read_stretch(path).recording;
    for (const std::size_t step : {1U, 37U, 100000U}) {
        auto file = SoundFile::open_memory(std::as_bytes(std::span(text)), "memory");
        auto moved = std::move(file);
        std::vector<float> all;
        for (;;) {
            const auto block = moved.read(step);
            all.insert(all.end(), block[1].begin(), block[1].end());
            if (block[1].size() < step) break;
        }
        CHECK(all == whole.channels[1]);
        CHECK(moved.position() == whole.samples());
        CHECK(moved.read(10)[0].empty());
    }
}
