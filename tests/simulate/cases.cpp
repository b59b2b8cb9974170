// The fixed sets: the same every time, disjoint, and what they say they are.
#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "simulate/cases.hpp"
#include "simulate/codec.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::simulate;
using cranknote::test::within;

TEST_CASE("a case is the same every time it is made") {
    for (const auto purpose : {Purpose::speed, Purpose::telling}) {
        const auto once = make_case(Set::tune, purpose, 5), again = make_case(Set::tune, purpose, 5);
        CHECK(once.layout_toml == again.layout_toml);
        CHECK(truth_json(once) == truth_json(again));
        REQUIRE(once.takes.size() == again.takes.size());
        for (std::size_t i = 0; i < once.takes.size(); ++i)
            CHECK(once.takes[i].sound.channels == again.takes[i].sound.channels);
    }
}

TEST_CASE("tune and score share no engine and no seed") {
    std::set<std::uint64_t> tune, score;
    for (const auto purpose : all_purposes())
        for (int i = 0; i < cases_in(purpose); ++i) {
            tune.insert(engine_seed({Set::tune, purpose, i}));
            score.insert(engine_seed({Set::score, purpose, i}));
            tune.insert(dice_of({Set::tune, purpose, i}).state());
            score.insert(dice_of({Set::score, purpose, i}).state());
        }
    for (const auto seed : tune) CHECK_FALSE(score.contains(seed));
    CHECK(tune.size() > 1000);
}

TEST_CASE("a telling pair has the fault on one side alone") {
    for (int i = 0; i < 3; ++i) {
        const auto c = make_case(Set::tune, Purpose::telling, i);
        REQUIRE(c.takes.size() == 2);
        CHECK(c.truth.relation == Relation::guilty_off);
        CHECK(c.truth.guilty.size() == 1);
        CHECK(c.takes[0].truth.faults.size() == 1);
        CHECK(c.takes[1].truth.faults.empty());
        CHECK(c.takes[0].sound.duration() > Seconds{9.5});
    }
}

TEST_CASE("sound comes back from a phone's format as long and as loud as it went in") {
    Recording r;
    r.rate = SampleRate{48000.0};
    r.channels.emplace_back(96000);
    for (std::size_t i = 0; i < 96000; ++i)
        r.channels[0][i] = static_cast<float>(
            0.25 * std::sin(2.0 * 3.14159265358979 * 1000.0 * static_cast<double>(i) / 48000.0));
    for (const char* codec : {"m4a", "opus", "mp3"}) {
        const auto back = decode(encode(r, codec, 96), codec, r.rate);
        INFO(codec);
        CHECK_THAT(back.duration().value(),
                   within(2.0, 0.06, "a codec pads to whole frames, up to 1152 samples twice"));
        double power = 0.0;
        for (std::size_t i = 12000; i < 84000; ++i)
            power += std::pow(static_cast<double>(back.channels[0][i]), 2) / 72000.0;
        CHECK_THAT(10.0 * std::log10(power), within(10.0 * std::log10(0.03125), 0.5,
                                                    "the mp3 encoder takes 5 % off to keep from clipping"));
    }
}
