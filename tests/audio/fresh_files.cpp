// Files made while testing, by the ffmpeg and sox commands of this machine: other encoders' settings, long
// files.
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>
#include <catch2/catch.hpp>

#include "audio/decode.hpp"
#include "audio/shell.hpp"
#include "audio/test_signal.hpp"
#include "temp_folder.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

std::string source(double rate, int channels) {
    std::string all;
    for (int c = 0; c < channels; ++c)
        all += (c > 0 ? "|" : "") + std::string("0.5*sin(2*PI*") + std::to_string(1000 + 250 * c) +
               "*t)+between(t\\,0.5\\,1)*0.25*sin(2*PI*(500*(t-0.5)+2500*(t-0.5)^2))";
    return "ffmpeg -nostdin -y -f lavfi -i 'aevalsrc=" + all + ":s=" + std::to_string(std::lround(rate)) +
           ":d=1.5" + (channels == 6 ? ":c=5.1" : "") + "' ";
}

bool have_tools() {
    const bool have = runs("ffmpeg -version") && runs("sox --version");
    if (!have) WARN("ffmpeg and sox are not installed: the files made while testing are not tested");
    return have;
}

struct Made {
    const char* name;
    const char* coding;
    double rate;
    int channels;
    double loss_db;
    int late_tolerance;
    std::size_t samples;  // 0: not asked
};

/// Peak memory in MB of a child that streams the file through, and how many samples it counted.
std::pair<double, std::size_t> stream_in_child(const std::string& path) {
    int ends[2];
    REQUIRE(pipe(ends) == 0);
    const pid_t child = fork();
    if (child == 0) {
        std::size_t count = 0;
        try {
            auto file = SoundFile::open(path);
            count = file.skip(std::size_t{1} << 40U);
        } catch (const std::exception&) {
        }
        rusage use{};
        getrusage(RUSAGE_SELF, &use);
        const double megabytes = static_cast<double>(use.ru_maxrss) / 1024;
        (void)!write(ends[1], &megabytes, sizeof megabytes);
        (void)!write(ends[1], &count, sizeof count);
        _exit(0);
    }
    close(ends[1]);
    double megabytes = 0;
    std::size_t count = 0;
    REQUIRE(read(ends[0], &megabytes, sizeof megabytes) == sizeof megabytes);
    REQUIRE(read(ends[0], &count, sizeof count) == sizeof count);
    close(ends[0]);
    waitpid(child, nullptr, 0);
    return {megabytes, count};
}

}  // namespace

TEST_CASE("files of other encoder settings come back with level and timing") {
    if (!have_tools()) return;
    const TempFolder folder;
    const Made all[] = {
        {"high.wav", "-c:a pcm_s24le", 96000, 2, 0.01, 0, 144000},
        {"double.wav", "-c:a pcm_f64le", 44100, 1, 0.01, 0, 66150},
        {"eight_bit.wav", "-c:a pcm_u8", 44100, 1, 0.05, 0, 66150},
        {"law.wav", "-c:a pcm_mulaw", 8000, 1, 0.2, 0, 12000},
        {"adpcm.wav", "-c:a adpcm_ima_wav", 44100, 2, 0.2, 1, 0},
        {"big.w64", "-c:a pcm_s16le", 44100, 2, 0.01, 0, 66150},
        {"big_rf64.wav", "-c:a pcm_s16le -rf64 always", 44100, 2, 0.01, 0, 66150},
        {"float.aiff", "-c:a pcm_f32be", 44100, 2, 0.01, 0, 66150},
        {"lossless.caf", "-c:a alac", 44100, 2, 0.01, 0, 66150},
        {"opus.caf", "-c:a libopus -b:a 64k", 48000, 1, 0.1, 400, 0},
        {"sun.au", "-c:a pcm_s16be", 44100, 1, 0.01, 0, 66150},
        {"24.flac", "-c:a flac -sample_fmt s32", 192000, 2, 0.01, 0, 288000},
        {"flac.oga", "-c:a flac -f ogg", 44100, 2, 0.01, 0, 66150},
        {"six.ogg", "-c:a libvorbis -q:a 6", 48000, 6, 0.3, 1, 72000},
        {"six.m4a", "-c:a aac -b:a 400k", 48000, 6, 0.5, 1, 72000},
        {"constant.mp3", "-c:a libmp3lame -b:a 128k", 44100, 2, 0.55, 0, 66150},
        {"variable.mp3", "-c:a libmp3lame -q:a 2", 48000, 2, 0.55, 0, 72000},
        {"low.mp3", "-c:a libmp3lame -b:a 32k", 16000, 1, 0.55, 0, 24000},
        // Without its tag an MP3 cannot tell the encoder's delay: 576 + 529 samples remain.
        {"no_tag.mp3", "-c:a libmp3lame -b:a 128k -write_xing 0", 44100, 1, 0.55, 1105, 0},
        {"faststart.m4a", "-c:a aac -b:a 128k -movflags +faststart", 48000, 2, 0.4, 0, 72000},
        {"pieces.mp4", "-c:a aac -b:a 128k -movflags +frag_keyframe+empty_moov", 48000, 1, 0.1, 1024, 0},
        {"aac.3gp", "-c:a aac -b:a 64k", 44100, 1, 0.1, 0, 66150},
        // Nor does this writer tell Matroska of the AAC encoder's 1024.
        {"aac.mka", "-c:a aac -b:a 128k", 44100, 1, 0.1, 1024, 0},
        {"vorbis.webm", "-c:a libvorbis -q:a 5", 44100, 1, 0.1, 1, 0},
        {"pcm.avi", "-c:a pcm_s16le", 44100, 1, 0.01, 0, 66150},
        {"voice.opus", "-c:a libopus -b:a 16k -application voip", 48000, 1, 0.5, 400, 72000},
        {"old.wma", "-c:a wmav1 -b:a 96k", 44100, 2, 0.3, 2048, 0},
    };
    for (const auto& m : all) {
        INFO(m.name);
        const auto path = folder.file(m.name);
        REQUIRE(runs(source(m.rate, m.channels) + m.coding + " '" + path + "'"));
        const auto got = read_stretch(path);
        const auto& r = got.recording;
        CHECK(r.rate == SampleRate{m.rate});
        REQUIRE(r.channels.size() == static_cast<std::size_t>(m.channels));
        CHECK_FALSE(got.damage);
        if (m.samples > 0) CHECK(r.samples() == m.samples);
        for (std::size_t c = 0; c < r.channels.size(); ++c) {
            INFO("channel " << c);
            if (m.channels == 6 && c == 3) continue;  // encoders cut the bass channel's tones
            const double level = db(tone_amplitude(r.channels[c], r.rate, tone_hz(c), 0.05, 0.45));
            CHECK_THAT(level, within(-6.02, m.loss_db,
                                     "what this coder may do to a tone; MP3 turns down by 0.45 dB"));
        }
        CHECK_THAT(delay_of(r.channels[0], r.rate, 2500),
                   within(0, m.late_tolerance, "delay that the coder cannot tell"));
    }
}

TEST_CASE("sox's files, and a stream of unknown length") {
    if (!have_tools()) return;
    const TempFolder folder;
    const auto path = folder.file("sox.aiff");
    REQUIRE(runs("sox -R -n -r 44100 -b 24 '" + path + "' synth 1 sine 1000 gain -6.0206"));
    const auto r = read_stretch(path).recording;
    CHECK(r.samples() == 44100);
    CHECK_THAT(db(tone_amplitude(r.channels[0], r.rate, 1000, 0, 1)), within(-6.0206, 0.01, "24 bits"));
    const auto piped = folder.file("piped.wav");
    REQUIRE(runs("sox -R -n -r 44100 -b 16 -t wav - synth 1 sine 1000 gain -6 | cat > '" + piped + "'"));
    const auto stream = read_stretch(piped);
    CHECK(stream.recording.samples() == 44100);
    CHECK_FALSE(stream.damage);
    const auto open = folder.file("open.wav");
    REQUIRE(runs(source(44100, 1) + "-c:a pcm_s16le -f wav pipe:1 | cat > '" + open + "'; test -s '" + open +
                 "'"));
}

TEST_CASE("an hour of sound streams in bounded memory") {
    if (!have_tools() || CRANKNOTE_SANITIZED) return;  // a sanitizer keeps freed memory
    const TempFolder folder;
    const auto flac = folder.file("hour.flac"), m4a = folder.file("hour.m4a");
    REQUIRE(runs("sox -R -n -r 8000 -b 16 '" + flac + "' synth 3600 sine 400 gain -6"));
    REQUIRE(runs("ffmpeg -nostdin -y -i '" + flac + "' -c:a alac '" + m4a + "'"));
    for (const auto& path : {flac, m4a}) {
        INFO(path);
        const auto [megabytes, count] = stream_in_child(path);
        INFO(megabytes << " MB");
        CHECK(count == 3600UL * 8000UL);
        CHECK(megabytes < 200);  // the contract; the samples alone would be 115 MB on top of the program
        CHECK(megabytes < 80);   // and streaming holds a block, not the file
    }
}
