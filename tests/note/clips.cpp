#include "note/clips.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <span>

#include "audio/decode.hpp"
#include "figure/number_text.hpp"
#include "shell.hpp"
#include "within.hpp"

using namespace cranknote;
using cranknote::test::within;

namespace {

std::vector<float> tone(double hz, double amplitude, double rate, double seconds) {
    std::vector<float> x(static_cast<std::size_t>(rate * seconds));
    for (std::size_t i = 0; i < x.size(); ++i)
        x[i] = static_cast<float>(amplitude *
                                  std::sin(2.0 * std::numbers::pi * hz * static_cast<double>(i) / rate));
    return x;
}

Recording decoded(const std::string& bytes) {
    test::write_file("test_clip.mp3", bytes);
    auto recording = read_stretch("test_clip.mp3", {}).recording;
    std::remove("test_clip.mp3");
    return recording;
}

/// Level of the middle third: the ends are faded.
double level(const Recording& r) {
    const auto& x = r.channels.front();
    double sum = 0.0;
    for (std::size_t i = x.size() / 3; i < 2 * x.size() / 3; ++i)
        sum += static_cast<double>(x[i]) * static_cast<double>(x[i]);
    return 10.0 * std::log10(sum / (static_cast<double>(x.size()) / 3.0));
}

}  // namespace

TEST_CASE("clips: MP3 that decodes to what went in", "[note][clips]") {
    for (const double rate : {16000.0, 44100.0, 48000.0, 96000.0}) {
        const auto r = decoded(mp3_of(tone(1000.0, 0.5, rate, 2.0), SampleRate{rate}));
        CAPTURE(rate);
        CHECK_THAT(r.duration().value(), within(2.0, 0.15, "the encoder pads by some frames of 26 to 72 ms"));
        CHECK_THAT(level(r), within(20.0 * std::log10(0.5) - 3.01, 0.3, "lossy coding of a tone"));
    }
}

TEST_CASE("clips: whole and band alone, one gain for both sides, matched by the comparison's offset",
          "[note][clips]") {
    // B was recorded 6 dB louder; beside that, its 2 kHz tone is 20 dB weaker.
    auto a = tone(200.0, 0.05, 48000.0, 8.0), b = tone(200.0, 0.1, 48000.0, 8.0);
    const auto whine = tone(2000.0, 0.05, 48000.0, 8.0);
    for (std::size_t i = 0; i < a.size(); ++i) {
        a[i] += whine[i];
        b[i] += 0.2f * whine[i];
    }
    const auto clips = clips_of({a, SampleRate{48000.0}, "A"}, {b, SampleRate{48000.0}, "B"},
                                {std::pair{Hertz{1500.0}, Hertz{2500.0}}}, Decibel{6.02});
    REQUIRE(clips.size() == 4);
    CHECK(clips[0].title == "A");
    CHECK(clips[2].caption == "1.50–2.50\u00a0kHz alone");
    for (const auto& c : clips) CHECK_THAT(c.length.value(), within(5.0, 1e-3, "asked for, to the sample"));
    const double band = level(decoded(clips[3].bytes)) - level(decoded(clips[2].bytes));
    CHECK_THAT(band, within(-20.0, 0.5, "0.2 × 0.5 of the amplitude, lossy coding"));
}

TEST_CASE("clips: ends are faded, silence and short sounds pass", "[note][clips]") {
    std::vector<float> x(1000, 1.0f);
    fade_ends(x, SampleRate{1000.0}, Seconds{0.1});
    CHECK(std::abs(x.front()) < 0.01f);
    CHECK(std::abs(x.back()) < 0.01f);
    CHECK(x[500] == 1.0f);
    const std::vector<float> silent(48000, 0.0f), brief(2000, 0.1f);
    CHECK(clips_of({silent, SampleRate{48000.0}, "A"}, {{}, SampleRate{48000.0}, "B"}, {}, Decibel{0.0})
              .size() == 1);
    CHECK(clips_of({brief, SampleRate{48000.0}, "A"}, {brief, SampleRate{48000.0}, "B"}, {}, Decibel{0.0})
              .size() == 2);
}
