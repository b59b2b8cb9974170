#include "job/portrait_cache.hpp"

#include <string>

#include <catch2/catch.hpp>

using namespace cranknote;

namespace {

/// Every optional thing of a reading is there.
Examined full() {
    Examined e;
    auto& s = e.summary.speed;
    s.mean = Rpm{812}, s.interval = {Rpm{811}, Rpm{813}}, s.low = Rpm{800}, s.high = Rpm{820};
    s.running.used = {Seconds{1}, Seconds{9}}, s.running.starts = Seconds{0.5};
    s.running.cranking = {Seconds{0}, Seconds{0.5}}, s.running.cranking_speed = Rpm{210};
    s.source = SpeedSource::entered, s.mean_from = SpeedSource::sound;
    s.tag = SpeedTag{Rpm{820}, Rpm{40}};
    s.cylinders = 4, s.cylinders_said = true, s.confidence = 0.97;
    s.alternatives = {{Rpm{1624}, 0.02, 8}, {Rpm{406}, 0.01}};
    s.track = {{Seconds{1}, Seconds{9}}, {Rpm{810}, Rpm{814}}};
    s.steadiness = Steadiness{
        0.01, {0.008, 0.013}, Hunting{Seconds{2.5}, {Seconds{2.4}, Seconds{2.6}}, 0.02}, "It hunts."};
    s.evenness.emplace();
    s.evenness->unlike = 0.2, s.evenness->interval = {0.1, 0.3}, s.evenness->from = SpeedSource::pickup;
    s.evenness->cylinders = {{Decibel{0.5}, Decibel{0.1}}, {Decibel{-0.6}, Decibel{0.2}}};
    s.evenness->numbers = {2, 1}, s.evenness->text = "Even.";
    s.remarks = {"One.", "Two."};
    e.portrait.speed = s;
    return e;
}

}  // namespace

TEST_CASE("An examined recording comes back from its bytes whole") {
    const auto bytes = job::to_bytes(full());
    const auto back = job::from_bytes(bytes);
    REQUIRE(back);
    CHECK(job::to_bytes(*back) == bytes);
    const auto& s = back->summary.speed;
    CHECK(s.running.starts == Seconds{0.5});
    CHECK(s.running.cranking->second == Seconds{0.5});
    CHECK(s.tag->plus_minus == Rpm{40});
    CHECK(s.alternatives[0].cylinders == 8);
    CHECK_FALSE(s.alternatives[1].cylinders);
    REQUIRE(s.steadiness->hunting);
    CHECK(s.steadiness->hunting->period == Seconds{2.5});
    CHECK(s.evenness->numbers == std::vector<int>{2, 1});
    CHECK(s.evenness->cylinders[1].level == Decibel{-0.6});
    CHECK(s.evenness->text == "Even.");
}

TEST_CASE("Bytes that are cut off are nothing") {
    const auto bytes = job::to_bytes(full());
    for (std::size_t n = 0; n < bytes.size(); n += 7) CHECK_FALSE(job::from_bytes(bytes.substr(0, n)));
}
