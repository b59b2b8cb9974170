// What the sound card gets to play: takes changed without a click, loops, pauses; no sound card needed.
#include "audio/mixer.hpp"

#include <catch2/catch.hpp>
#include <thread>

#include "audio/play.hpp"
#include "audio/test_signal.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

const SampleRate rate{48000};

Playable tone_take(double hz, double seconds, double amplitude = 0.3) {
    Playable t;
    for (std::size_t i = 0; i < static_cast<std::size_t>(seconds * rate.value()); ++i)
        t.samples.push_back(
            static_cast<float>(amplitude * std::sin(two_pi * hz * static_cast<double>(i) / rate.value())));
    return t;
}

std::vector<float> played(Mixer& mixer, double seconds, std::size_t block = 480) {
    std::vector<float> out;
    while (static_cast<double>(out.size()) < seconds * rate.value()) {
        std::vector<float> buffer(block);
        mixer.fill(buffer, 1);
        out.insert(out.end(), buffer.begin(), buffer.end());
    }
    return out;
}

/// A click is a step that no tone of these frequencies makes: second differences show it.
double sharpest(const std::vector<float>& x) {
    double most = 0;
    for (std::size_t i = 2; i < x.size(); ++i)
        most = std::max<double>(most, std::abs(static_cast<double>(x[i]) - 2.0 * x[i - 1] + x[i - 2]));
    return most;
}

double curvature(double hz, double amplitude) { return amplitude * std::pow(two_pi * hz / rate.value(), 2); }

}  // namespace

TEST_CASE("changing between two takes makes no click and keeps the moment") {
    const auto a = tone_take(400, 4), b = tone_take(700, 4);
    Mixer mixer(rate);
    mixer.choose(&a);
    auto out = played(mixer, 0.5);
    mixer.choose(&b);
    const auto second = played(mixer, 0.5);
    out.insert(out.end(), second.begin(), second.end());
    // Both tones at once, and the fades' own bend over 480 samples: pi^2/8 of (pi/2/480)^2 at amplitude 0.6.
    CHECK(sharpest(out) < curvature(400, 0.3) + curvature(700, 0.3) + 1e-4);
    CHECK_THAT(mixer.position() / rate.value(), within(1.0, 1e-9, "10 ms blocks fit into it"));
    // After the change it is b's own samples at that moment.
    CHECK(std::equal(second.begin() + 480, second.end(), b.samples.begin() + 24000 + 480));
    // A change without fading would be seen.
    auto hard = std::vector<float>(a.samples.begin(), a.samples.begin() + 24030);
    hard.insert(hard.end(), b.samples.begin() + 24030, b.samples.begin() + 48000);
    CHECK(sharpest(hard) > 10 * (curvature(400, 0.3) + curvature(700, 0.3) + 1e-4));
}

TEST_CASE("beginning, pause and end make no click") {
    Mixer mixer(rate);
    CHECK(played(mixer, 0.1) == std::vector<float>(4800, 0.0F));
    const auto a = take_of(tone_take(400, 1).samples, rate, rate, Decibel{0}, {});
    mixer.choose(&a);
    auto out = played(mixer, 0.3);
    mixer.set_gain(0);
    const auto paused = played(mixer, 0.2);
    CHECK(std::all_of(paused.begin() + 480, paused.end(), [](float x) { return x == 0.0F; }));
    const double kept = mixer.position();
    CHECK_THAT(kept, within(0.31 * 48000, 2, "the fade of 480 samples"));
    mixer.set_gain(1);
    const auto rest = played(mixer, 1.0);
    out.insert(out.end(), paused.begin(), paused.end());
    out.insert(out.end(), rest.begin(), rest.end());
    CHECK(sharpest(out) <
          2 * curvature(400, 0.3) + 1.5e-3);  // 1/480 a sample where the gain's ramp has a corner
    CHECK(mixer.ended());
    CHECK(out.back() == 0.0F);
    mixer.rewind();
    CHECK(std::abs(played(mixer, 0.1)[3000]) > 0);
    CHECK_FALSE(mixer.ended());
}

TEST_CASE("a loop goes round; a slow take keeps the moment of the original") {
    auto a = tone_take(480, 1);
    a.loop = true;
    Mixer mixer(rate);
    mixer.choose(&a);
    const auto out = played(mixer, 2.5);
    CHECK(std::equal(out.begin() + 48000 + 480, out.begin() + 96000, a.samples.begin() + 480));
    CHECK_FALSE(mixer.ended());
    CHECK_THAT(mixer.position(), within(24000, 1e-6, "two and a half rounds"));
    auto slow = tone_take(300, 2);
    slow.pace = 2;
    slow.loop = true;
    mixer.choose(&slow);
    played(mixer, 0.5);
    CHECK_THAT(mixer.position(), within(36000, 1e-6, "0.5 s at half speed from 0.5 s on"));
}

TEST_CASE("gain, clipping and channels") {
    auto loud = tone_take(1000, 1, 2.0);
    loud.loop = true;
    Mixer mixer(rate);
    mixer.choose(&loud);
    std::vector<float> out(9600);
    mixer.fill(out, 2);
    CHECK(*std::max_element(out.begin(), out.end()) == 1.0F);
    for (std::size_t i = 0; i < out.size(); i += 2) REQUIRE(out[i] == out[i + 1]);
    std::vector<Playable> both{tone_take(1000, 1, 2.0), tone_take(1000, 1, 0.5)};
    both[1].gain = 0.5;
    keep_from_clipping(both);
    CHECK_THAT(both[0].gain * 2.0, within(0.95, 1e-6, "the peak allowed"));
    CHECK_THAT(both[0].gain / both[1].gain, within(2, 1e-12, "the balance stays"));
}

TEST_CASE("a take is in use until the change is over, whatever the threads do") {
    const auto a = tone_take(400, 1), b = tone_take(500, 1);
    Mixer mixer(rate);
    mixer.choose(&a);
    CHECK(mixer.in_use(&a));
    played(mixer, 0.05);
    mixer.choose(&b);
    CHECK(mixer.in_use(&a));
    CHECK(mixer.in_use(&b));
    played(mixer, 0.05);
    CHECK_FALSE(mixer.in_use(&a));
    // Takes come and go while another thread plays: freed memory would be seen by the address sanitizer.
    std::jthread card([&](const std::stop_token& stop) {
        std::vector<float> buffer(64);
        while (!stop.stop_requested()) mixer.fill(buffer, 1);
    });
    std::vector<std::unique_ptr<Playable>> kept;
    std::size_t most = 0;
    for (int i = 0; i < 2000; ++i) {
        kept.push_back(std::make_unique<Playable>(tone_take(300 + i, 0.002)));
        mixer.choose(kept.back().get());
        if (i % 7 == 0) std::this_thread::yield();
        std::erase_if(kept, [&](const auto& t) { return !mixer.in_use(t.get()); });
        most = std::max(most, kept.size());
    }
    CHECK(most <= 4);  // wanted, playing, leaving, and one between
    mixer.choose(nullptr);
    card.request_stop();
    card.join();
}

TEST_CASE("a take made ready: band, slow, loop, gain") {
    const auto x = tone_take(1000, 3).samples;
    Treatment how;
    how.band = {Hertz{800}, Hertz{1200}};
    const auto band = take_of(x, rate, rate, Decibel{-6}, how);
    CHECK_THAT(db(band.gain), within(-6, 1e-9, "as asked"));
    CHECK_THAT(tone_amplitude(band.samples, rate, 1000, 1, 2), within(0.3, 0.001, "pass band"));
    how.loop_loudest = true;
    how.half_speed = true;
    const auto slow = take_of(x, SampleRate{44100}, rate, Decibel{0}, how);
    CHECK(slow.loop);
    CHECK(slow.pace == 2);
    CHECK(slow.samples.size() == 96000);
}
