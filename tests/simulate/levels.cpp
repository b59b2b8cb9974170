// The level of a fault is what the contract says it is.
#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "simulate/bench.hpp"
#include "simulate/level.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::simulate;
using cranknote::test::within;

TEST_CASE("a narrow fault is judged in a third octave, a wide one in its own band") {
    const double rate = 48000.0;
    Wave tone(1 << 17), noise = white(tone.size(), Dice(2));
    for (std::size_t i = 0; i < tone.size(); ++i)
        tone[i] =
            static_cast<float>(std::sin(2.0 * 3.14159265358979 * 1000.0 * static_cast<double>(i) / rate));
    const auto narrow = fault_band(welch(tone, rate, 8192));
    CHECK_THAT(narrow.second / narrow.first,
               within(1.2589, 0.03, "a third octave, found on a grid of 24 to the octave"));
    CHECK(narrow.first < 1000.0);
    CHECK(narrow.second > 1000.0);
    filter(noise, {Biquad::high_pass(1000.0, 0.7071, rate), Biquad::high_pass(1000.0, 0.7071, rate),
                   Biquad::low_pass(4000.0, 0.7071, rate), Biquad::low_pass(4000.0, 0.7071, rate)});
    const auto wide = fault_band(welch(noise, rate, 8192));
    // Each corner is two Butterworth pairs: 10 dB down where 1 + x^4 = sqrt(10), x = 1.2126.
    CHECK_THAT(wide.first, within(1000.0 / 1.2126, 40.0, "grid of 24 to the octave: 3 %"));
    CHECK_THAT(wide.second,
               within(4000.0 * 1.2126, 250.0, "grid of 24 to the octave, and the bilinear transform"));
}

TEST_CASE("a fault asked for at a level has that level at the microphone") {
    const auto e = make_engine(21, 4);
    Phone phone;
    phone.measuring = true;
    phone.floor_db = -140.0;
    phone.target_db = -24.0;
    auto bench = make_bench(e, 5, phone, 6);
    std::set<std::string> done;
    for (const auto& fault : possible_faults(e)) {
        if (!std::set<std::string>{"rub", "mesh", "valve", "bearing"}.contains(fault.cause.kind)) continue;
        if (!done.insert(fault.cause.kind).second) continue;
        bench.faults = {fault};
        bench.faults.front().seed = 77;
        bench.levels = {3.0};
        // Two takes that differ in the fault alone, by a phone that adds next to nothing: the difference is
        // the fault.
        TakePlan with;
        with.course = idle_course(e.idle_rpm, 10.0, 0.01);
        with.placement = put_down(8);
        with.chances = 1;
        TakePlan without = with;
        without.faults = {false};
        const auto takes = record(bench, {without, with});
        REQUIRE(takes[1].truth.faults.size() == 1);
        const auto& truth = takes[1].truth.faults.front();
        const auto& healthy = takes[0].sound.channels.front();
        Wave alone = takes[1].sound.channels.front();
        add(alone, healthy, -1.0);
        const double level = level_in(welch(alone, 48000.0, 8192), welch(healthy, 48000.0, 8192),
                                      {truth.band.first.value(), truth.band.second.value()});
        INFO(truth.cause.words);
        CHECK_THAT(truth.level.value(), within(3.0, 0.01, "the level that was asked for"));
        CHECK_THAT(level, within(3.0, 0.2, "measured in the file: 16 bits and a floor far below"));
    }
}
