// Recording and playing for real, on a sound card in memory that with_null_sink.sh sets up.
#include <signal.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>
#include <catch2/catch.hpp>

#include <chrono>
#include <fstream>
#include <random>
#include <thread>

#include "audio/decode.hpp"
#include "audio/devices.hpp"
#include "audio/play.hpp"
#include "audio/record.hpp"
#include "audio/shell.hpp"
#include "audio/test_signal.hpp"
#include "audio/write.hpp"
#include "speed/from_sound.hpp"
#include "temp_folder.hpp"
#include "units/error.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;
using namespace std::chrono_literals;

namespace {

const SampleRate rate{48000};

/// Noise on both channels, unlike: any missing or doubled sample shows.
Recording two_noises(double seconds) {
    Recording r{rate, {{}, {}}};
    std::mt19937 random(5);
    std::normal_distribution<float> normal(0, 0.1F);
    for (auto& c : r.channels)
        for (std::size_t i = 0; i < static_cast<std::size_t>(seconds * rate.value()); ++i)
            c.push_back(normal(random));
    return r;
}

/// A four-cylinder four-stroke at 820 rpm, unlike cylinders, and noise.
Recording engine(double seconds) {
    Recording r{rate, {{}}};
    std::mt19937 random(6);
    std::normal_distribution<float> normal(0, 0.01F);
    for (std::size_t i = 0; i < static_cast<std::size_t>(seconds * rate.value()); ++i) {
        const double turns = static_cast<double>(i) / rate.value() * 820 / 60;
        double x = 0;
        for (int k = 1; k < 60; ++k)
            x += (k % 4 == 0 ? 0.1 : 0.02) / (1 + k / 10.0) * std::sin(two_pi * turns * k / 2 + k * k);
        r.channels[0].push_back(static_cast<float>(x) + normal(random));
    }
    return r;
}

/// Where in `long_one` the first half second of `x` is, by the place of the best fit.
std::size_t find(const std::vector<float>& long_one, const std::vector<float>& x) {
    for (std::size_t at = 0; at + 24000 < long_one.size(); ++at) {
        double off = 0;
        for (std::size_t i = 0; i < 40 && off < 0.01; ++i)
            off += std::pow(static_cast<double>(long_one[at + i]) - x[i], 2);
        if (off < 0.0001) return at;
    }
    return long_one.size();
}

/// Until the first sound arrives: the sound server in memory takes 1.6 s.
void wait_for_sound(const Recorder& recorder) {
    for (int i = 0; i < 500 && recorder.state().recorded.value() <= 0; ++i) std::this_thread::sleep_for(10ms);
    REQUIRE(recorder.state().recorded.value() > 0);
}

Recording recorded_while(const std::string& path, RecordSettings settings,
                         const std::function<void()>& action) {
    Recorder recorder(path, settings);
    wait_for_sound(recorder);
    action();
    std::this_thread::sleep_for(700ms);
    const auto state = recorder.stop();
    CHECK(state.end == RecordEnd::asked);
    CHECK(state.overruns == 0);
    CHECK_FALSE(state.trouble);
    auto got = read_stretch(path);
    CHECK_FALSE(got.damage);
    CHECK(state.recorded == got.recording.duration());
    return got.recording;
}

double rms(const std::vector<float>& x, std::size_t from, std::size_t n) {
    double sum = 0;
    for (std::size_t i = from; i < from + n; ++i) sum += static_cast<double>(x.at(i)) * x[i];
    return std::sqrt(sum / static_cast<double>(n));
}

}  // namespace

TEST_CASE("what was played is what is in the file, sample by sample") {
    const TempFolder folder;
    const auto played = two_noises(6);
    auto file = played;  // the sound server may swallow a stream's first 2 ms
    for (auto& c : file.channels) c.insert(c.begin(), 12000, 0.0F);
    write_wav(folder.file("played.wav"), file, SampleCoding::float32);
    RecordSettings settings;
    settings.channels = 2;
    const auto got = recorded_while(folder.file("got.wav"), settings,
                                    [&] { REQUIRE(runs("paplay '" + folder.file("played.wav") + "'")); });
    REQUIRE(got.channels.size() == 2);
    for (std::size_t c = 0; c < 2; ++c) {
        const auto at = find(got.channels[c], played.channels[c]);
        REQUIRE(at + played.samples() <= got.samples());
        double worst = 0;
        for (std::size_t i = 0; i < played.samples(); ++i)
            worst = std::max<double>(worst, std::abs(got.channels[c][at + i] - played.channels[c][i]));
        CHECK_THAT(worst, within(0, 1.0 / 32768, "one step, if anything on the way has 16 bits"));
        CHECK_THAT(
            db(rms(got.channels[c], at, played.samples()) / rms(played.channels[c], 0, played.samples())),
            within(0, 0.1, "the level that is promised"));
    }
}

TEST_CASE("a recorded engine has the speed of the played one") {
    const TempFolder folder;
    const auto played = engine(8);
    write_wav(folder.file("engine.wav"), played, SampleCoding::float32);
    const auto got = recorded_while(folder.file("got.wav"), {},
                                    [&] { REQUIRE(runs("paplay '" + folder.file("engine.wav") + "'")); });
    REQUIRE(got.channels.size() == 1);
    const auto first = static_cast<std::ptrdiff_t>(1.5 * rate.value());
    const std::vector<float> part(got.channels[0].begin() + first,
                                  got.channels[0].begin() + first + 6 * 48000);
    SpeedSettings four;
    four.cylinders = 4;
    const auto reading = speed_from_sound(part, rate, four);
    REQUIRE(reading.mean);
    CHECK_THAT(reading.mean->value(), within(820, 0.82, "0.1 %, the median error promised for sound"));
}

TEST_CASE("a set length is kept to the sample, and the meter reads the level") {
    const TempFolder folder;
    Recording tone{rate, {{}}};
    for (int i = 0; i < 48000 * 6; ++i)
        tone.channels[0].push_back(static_cast<float>(0.5 * std::sin(two_pi * 1000 * i / 48000)));
    write_wav(folder.file("tone.wav"), tone, SampleCoding::float32);
    std::jthread player([&] { (void)runs("paplay --channels=1 '" + folder.file("tone.wav") + "'"); });
    std::this_thread::sleep_for(700ms);
    RecordSettings settings;
    settings.stop_after = Seconds{2.5};
    settings.rate = rate;
    Recorder recorder(folder.file("got.wav"), settings);
    for (int i = 0; i < 100 && recorder.state().end == RecordEnd::running; ++i)
        std::this_thread::sleep_for(50ms);
    CHECK(recorder.newest(0, 4800).size() == 4800);
    CHECK(recorder.newest(1, 4800).empty());
    const auto state = recorder.stop();
    CHECK(state.end == RecordEnd::length_reached);
    CHECK(read_stretch(folder.file("got.wav")).recording.samples() == 120000);
    REQUIRE(state.levels.size() == 1);
    const auto x = read_stretch(folder.file("got.wav")).recording.channels[0];
    CHECK_THAT(state.levels[0].rms->value(),
               within(db(rms(x, 120000 - 14400, 14400)), 0.1, "the last 0.3 s, to a block of 50 ms"));
    CHECK(state.levels[0].clipped == 0);
}

TEST_CASE("devices are listed, found by a part of the name, and refused with the list") {
    const SoundSystem system;
    const auto all = inputs(system);
    REQUIRE_FALSE(all.empty());
    CHECK(choose(all, "PULS").name == "pulse");
    CHECK(choose(all, "default").name == "default");
    CHECK_THROWS_WITH(
        choose(all, "banana"),
        Catch::Contains("no sound device is called \"banana\" (there are: ") && Catch::Contains("pulse"));
    CHECK_THROWS_WITH(choose({}, ""), Catch::Contains("this machine has no sound device"));
    CHECK_FALSE(outputs(system).empty());
}

TEST_CASE("wrong settings are refused before anything is written") {
    const TempFolder folder;
    RecordSettings three, slow, never;
    three.channels = 3;
    slow.rate = SampleRate{8000};
    never.stop_after = Seconds{0};
    for (const auto& s : {three, slow, never}) CHECK_THROWS_AS(Recorder(folder.file("a.wav"), s), Error);
    CHECK_FALSE(std::ifstream(folder.file("a.wav")).good());
    std::ofstream(folder.file("there.wav")) << "x";
    CHECK_THROWS_WITH(Recorder(folder.file("there.wav"), RecordSettings{}),
                      Catch::Contains("is there already"));
}

TEST_CASE("the player gives out what it was given, and changes over without a click") {
    const TempFolder folder;
    const auto tone = [](double hz) {
        auto t = std::make_shared<Playable>();
        for (int i = 0; i < 48000; ++i)
            t->samples.push_back(static_cast<float>(0.25 * std::sin(two_pi * hz * i / 48000)));
        t->loop = true;
        return t;
    };
    RecordSettings settings;
    settings.channels = 2;
    const auto got = recorded_while(folder.file("got.wav"), settings, [&] {
        Player player("", rate);
        player.play(tone(400));
        std::this_thread::sleep_for(1500ms);
        player.play(tone(700));
        std::this_thread::sleep_for(1500ms);
        CHECK(player.alive());
        CHECK(player.position().value() <= 1.0);
        player.play(nullptr);
        std::this_thread::sleep_for(300ms);
    });
    const auto& x = got.channels[0];
    CHECK(got.channels[0] == got.channels[1]);
    // Levels of half seconds: the first steady one is the 400 Hz tone, the last the 700 Hz tone.
    std::vector<double> a, b;
    double sharpest = 0;
    for (std::size_t at = 0; at + 24000 <= x.size(); at += 2400) {
        const double from = static_cast<double>(at) / 48000;
        a.push_back(tone_amplitude(x, rate, 400, from, from + 0.25));
        b.push_back(tone_amplitude(x, rate, 700, from, from + 0.25));
    }
    // Around the change-over only: elsewhere a busy machine may let the output run dry.
    std::size_t change = 0;
    while (change + 1 < a.size() && !(a[change] > 0.1 && b[change + 1] >= a[change + 1])) ++change;
    const auto middle = change * 2400 + 6000;
    REQUIRE(middle + 9600 < x.size());
    for (std::size_t i = middle - 9600; i < middle + 9600; ++i)
        sharpest =
            std::max<double>(sharpest, std::abs(static_cast<double>(x[i]) - 2.0 * x[i - 1] + x[i - 2]));
    CHECK(tone_amplitude(x, rate, 400, static_cast<double>(middle - 9600) / 48000,
                         static_cast<double>(middle - 4800) / 48000) > 0.2);
    CHECK(tone_amplitude(x, rate, 700, static_cast<double>(middle + 4800) / 48000,
                         static_cast<double>(middle + 9600) / 48000) > 0.2);
    CHECK_THAT(db(*std::max_element(a.begin(), a.end()) / 0.25),
               within(0, 0.1, "the level that is promised"));
    CHECK_THAT(db(*std::max_element(b.begin(), b.end()) / 0.25),
               within(0, 0.1, "the level that is promised"));
    const auto bend = [](double hz) { return 0.25 * std::pow(two_pi * hz / 48000, 2); };
    CHECK(sharpest < bend(400) + bend(700) + 1e-3);
}

TEST_CASE("cranknote record and listen work together") {
    const TempFolder folder;
    const std::string program = CRANKNOTE_PROGRAM;
    write_wav(folder.file("a.wav"), engine(1.5), SampleCoding::pcm16);
    const auto got = folder.file("got.wav"), text = folder.file("text");
    REQUIRE(runs("( '" + program + "' record '" + got + "' --seconds 6 --json > '" + text + "' 2> '" + text +
                 ".err' ) & sleep 2; '" + program + "' listen '" + folder.file("a.wav") +
                 "' </dev/null; r=$?; wait; exit $r"));
    std::ifstream in(text);
    std::string line;
    std::getline(in, line);
    CHECK_THAT(line, Catch::StartsWith("{\"schema\":1,\"file\":\"" + got + "\",\"duration_s\":6.0,"));
    CHECK_THAT(line, Catch::Contains("\"end\":\"length reached\"") && Catch::Contains("\"overruns\":0"));
    std::ifstream errors(text + ".err");
    CHECK(errors.peek() == EOF);  // no library prints there
    const auto x = read_stretch(got).recording.channels[0];
    CHECK(x.size() == 288000);
    const auto [first, last] = loudest(x, rate, Seconds{1});
    CHECK_THAT(db(rms(x, first, last - first) / rms(engine(1.5).channels[0], 0, 72000)),
               within(0, 0.5, "a loud second of 1.5 s against all"));
    // Two channels are never chosen without the warning.
    REQUIRE(runs("'" + program + "' record '" + folder.file("two.wav") + "' --seconds 0.2 --channels 2 > '" +
                 text + "' 2> '" + text + ".err'"));
    std::ifstream warned(text + ".err");
    std::getline(warned, line);
    CHECK_THAT(line, Catch::Contains("a coil's own lead carries hundreds of volts"));
    CHECK_FALSE(runs("'" + program + "' record '" + got + "' --seconds 1"));
    CHECK(read_stretch(got).recording.samples() == 288000);
    CHECK(runs("'" + program + "' inputs --json"));
}

TEST_CASE("kill -9 in recording leaves a file that opens and lacks less than a second") {
    const TempFolder folder;
    std::mt19937 random(7);
    for (int round = 0; round < 8; ++round) {
        const auto path = folder.file("killed" + std::to_string(round) + ".wav");
        const pid_t child = fork();
        if (child == 0) {
            execl(CRANKNOTE_PROGRAM, "cranknote", "record", path.c_str(), "--seconds", "60", nullptr);
            _exit(1);
        }
        const auto size = [&] {
            struct stat s {};
            return stat(path.c_str(), &s) == 0 ? s.st_size : 0;
        };
        for (int i = 0; i < 1000 && size() < 1000; ++i) std::this_thread::sleep_for(5ms);  // the first sound
        REQUIRE(size() >= 1000);
        const auto began = std::chrono::steady_clock::now();
        std::this_thread::sleep_for(std::chrono::milliseconds(300 + random() % 1500));
        kill(child, SIGKILL);
        const std::chrono::duration<double> ran = std::chrono::steady_clock::now() - began;
        waitpid(child, nullptr, 0);
        const auto got = read_stretch(path);
        CHECK_FALSE(got.damage);
        CHECK(got.recording.duration().value() > ran.count() - 1.0);
        CHECK(got.recording.duration().value() < ran.count() + 0.5);
    }
}

TEST_CASE("a polite end keeps everything and says it") {
    const TempFolder folder;
    const auto path = folder.file("ended.wav"), text = folder.file("text");
    REQUIRE(runs("timeout -s INT 4 '" + std::string(CRANKNOTE_PROGRAM) + "' record '" + path +
                 "' --json > '" + text + "'; test $? = 124"));
    std::ifstream in(text);
    std::string line;
    std::getline(in, line);
    CHECK_THAT(line, Catch::Contains("\"end\":\"asked\""));
    CHECK(read_stretch(path).recording.duration().value() > 0.8);
}

// Last, and in a run of its own: it takes the sound server away.
TEST_CASE("a device that goes away keeps what was recorded", "[.lost]") {
    const TempFolder folder;
    const auto path = folder.file("lost.wav");
    Recorder recorder(path, RecordSettings{});
    wait_for_sound(recorder);
    std::this_thread::sleep_for(1500ms);
    const auto before = recorder.state().recorded.value();
    CHECK(before > 1.0);
    const auto server = static_cast<pid_t>(std::stol(std::getenv("CRANKNOTE_SOUND_SERVER")));
    REQUIRE(kill(server, SIGKILL) == 0);
    for (int i = 0; i < 100 && recorder.state().end == RecordEnd::running; ++i)
        std::this_thread::sleep_for(50ms);
    const auto state = recorder.stop();
    CHECK(state.end == RecordEnd::device_lost);
    REQUIRE(state.trouble);
    CHECK_THAT(*state.trouble, Catch::Contains("the device is gone; what was recorded until then is kept"));
    CHECK(read_stretch(path).recording.duration().value() >= before);
}
