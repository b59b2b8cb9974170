// The level meter, the watch for a stopped engine, and the queue between the sound card and the writer.
#include "audio/meter.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <random>
#include <thread>

#include "audio/ring.hpp"
#include "within.hpp"

using namespace cranknote;
using test::within;

namespace {

const SampleRate rate{48000};

std::vector<float> tone(double seconds, double amplitude) {
    std::vector<float> x(static_cast<std::size_t>(seconds * rate.value()));
    for (std::size_t i = 0; i < x.size(); ++i)
        x[i] = static_cast<float>(
            amplitude * std::sin(2 * std::numbers::pi * 1000 * static_cast<double>(i) / rate.value()));
    return x;
}

}  // namespace

TEST_CASE("the meter shows peak, hold and rms of a tone") {
    LevelMeter meter(rate);
    CHECK_FALSE(meter.level().peak);
    meter.feed(tone(1, 0.5));
    CHECK_THAT(meter.level().peak->value(), within(-6.02, 0.01, "48 samples a period hit the crest"));
    CHECK_THAT(meter.level().rms->value(), within(-9.03, 0.01, "whole periods"));
    meter.feed(tone(1, 0.05));
    CHECK_THAT(meter.level().peak->value(), within(-26.02, 0.01, "48 samples a period hit the crest"));
    CHECK_THAT(meter.level().peak_hold->value(), within(-6.02, 0.01, "still held after 1 s"));
    meter.feed(tone(0.6, 0.05));
    CHECK_THAT(meter.level().peak_hold->value(), within(-26.02, 0.01, "let go after 1.5 s"));
    CHECK(meter.level().clipped == 0);
}

TEST_CASE("the meter counts clipping from three samples in a row on") {
    LevelMeter meter(rate);
    meter.feed(std::vector<float>{1, 1, 0, -1, 0.2F});
    CHECK(meter.level().clipped == 0);
    meter.feed(std::vector<float>{1, 1});
    meter.feed(std::vector<float>{1, 1, 0});
    CHECK(meter.level().clipped == 4);
}

TEST_CASE("advice on the level") {
    LevelMeter silent(rate), faint(rate), good(rate), loud(rate);
    silent.feed(std::vector<float>(48000, 0.0F));
    faint.feed(tone(1, 0.0005));
    good.feed(tone(1, 0.2));
    loud.feed(std::vector<float>(48000, 1.0F));
    CHECK(advice_on(silent.level())->starts_with("nothing arrives"));
    CHECK(advice_on(faint.level())->starts_with("too quiet"));
    CHECK_FALSE(advice_on(good.level()));
    CHECK(advice_on(loud.level())->starts_with("too loud"));
}

TEST_CASE("an engine that is shut off is noticed, one that idles on is not") {
    std::mt19937 random(3);
    std::normal_distribution<float> normal;
    const auto noise = [&](double seconds, float rms) {
        std::vector<float> x(static_cast<std::size_t>(seconds * rate.value()));
        for (auto& v : x) v = rms * normal(random);
        return x;
    };
    EngineWatch watch(rate);
    watch.feed(noise(10, 0.1F));
    CHECK_FALSE(watch.stopped());
    watch.feed(noise(1.9, 0.01F));
    CHECK_FALSE(watch.stopped());
    watch.feed(noise(0.3, 0.01F));
    CHECK(watch.stopped());

    EngineWatch wandering(rate);
    for (int i = 0; i < 20; ++i) wandering.feed(noise(1, i % 2 == 0 ? 0.1F : 0.03F));  // 10 dB up and down
    CHECK_FALSE(wandering.stopped());
    EngineWatch silent(rate);
    silent.feed(noise(20, 0.0F));
    CHECK_FALSE(silent.stopped());
}

TEST_CASE("the queue gives everything once, in order, across threads") {
    SampleRing ring(1000);
    constexpr int blocks = 20000, size = 37;
    std::size_t lost = 0;
    std::jthread writer([&] {
        std::vector<float> block(size);
        for (int b = 0; b < blocks; ++b) {
            for (int i = 0; i < size; ++i)
                block[static_cast<std::size_t>(i)] = static_cast<float>(b * size + i);
            while (!ring.write(block)) {
                ++lost;
                std::this_thread::yield();
            }
        }
    });
    std::vector<float> got;
    while (got.size() < static_cast<std::size_t>(blocks) * size) {
        if (ring.read_all(got) == 0) std::this_thread::yield();
    }
    bool in_order = true;
    for (std::size_t i = 0; i < got.size(); ++i) in_order = in_order && got[i] == static_cast<float>(i);
    CHECK(in_order);
}

TEST_CASE("a full queue refuses a block as a whole") {
    SampleRing ring(10);
    CHECK(ring.write(std::vector<float>(8, 1.0F)));
    CHECK_FALSE(ring.write(std::vector<float>(3, 2.0F)));
    CHECK(ring.write(std::vector<float>(2, 3.0F)));
    std::vector<float> got;
    CHECK(ring.read_all(got) == 10);
    CHECK(got == std::vector<float>{1, 1, 1, 1, 1, 1, 1, 1, 3, 3});
    CHECK(ring.read_all(got) == 0);
}
