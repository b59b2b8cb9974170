#include <catch2/catch.hpp>
#include <cmath>
#include <memory>

#include "compare/compare.hpp"
#include "compare/examine.hpp"
#include "compare/noise.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

/// A recording whose speed is known: 900 rpm, 15 turns a second.
Examined examined(const std::vector<float>& x) {
    Examined e;
    e.summary.rate = SampleRate{rate};
    e.summary.speed = speed_from_tag({Rpm{900}, Rpm{2}}, Seconds{static_cast<double>(x.size()) / rate});
    e.portrait = portrait_of(x, e.summary.rate, e.summary.speed);
    return e;
}

std::vector<Finding> flagged(const std::vector<float>& a, const std::vector<float>& b, bool same_placement) {
    const auto ea = examined(a), eb = examined(b);
    CompareSettings s;
    s.same_placement = same_placement, s.cylinders = 4;
    auto c = compare({{&ea.portrait, ea.summary}}, {{&eb.portrait, eb.summary}}, s);
    std::erase_if(c.findings, [](const Finding& f) { return !f.flagged; });
    return c.findings;
}

std::vector<float> engine(unsigned seed) {  // swells at the firing of four cylinders, as engines do
    auto x = noise(12.0, 0.01, seed);
    add(x, gated(around(noise(12.0, 0.05, seed + 1000), 600.0), 30.0, 0.0));
    return x;
}

}  // namespace

TEST_CASE("the same engine twice: nothing is flagged, phone moved or not") {
    for (unsigned seed = 1; seed <= 3; ++seed) {
        CHECK(flagged(engine(seed), engine(seed + 50), false).empty());
        CHECK(flagged(engine(seed), engine(seed + 50), true).empty());
    }
}

TEST_CASE(
    "the curves' intervals hold the changes of an unchanged engine, and are wider where the phone moved") {
    const auto a = examined(engine(1)), b = examined(engine(51));
    CompareSettings moved, untouched;
    untouched.same_placement = true;
    const auto wide = compare({{&a.portrait, a.summary}}, {{&b.portrait, b.summary}}, moved);
    const auto narrow = compare({{&a.portrait, a.summary}}, {{&b.portrait, b.summary}}, untouched);
    const auto holds_no_change = [](const Curve& c) {
        std::size_t held = 0;
        for (std::size_t i = 0; i < c.x.size(); ++i) held += c.low[i] <= 0.0F && c.high[i] >= 0.0F ? 1 : 0;
        return static_cast<double>(held) / static_cast<double>(c.x.size());
    };
    const auto mean_width = [](const Curve& c) {
        double sum = 0.0;
        for (std::size_t i = 0; i < c.x.size(); ++i) sum += static_cast<double>(c.high[i] - c.low[i]);
        return sum / static_cast<double>(c.x.size());
    };
    for (const auto* c : {&wide.over_hz, &wide.over_ratio, &narrow.over_hz, &narrow.over_ratio}) {
        REQUIRE(c->x.size() > 50);
        CHECK(holds_no_change(*c) >= 0.95);  // they are 95 % intervals, and no room adds to this noise
    }
    CHECK(mean_width(wide.over_hz) > mean_width(narrow.over_hz));
    CHECK(mean_width(wide.over_ratio) > mean_width(narrow.over_ratio));
    // One line fades with the place of the phone, a third octave of noise hardly does.
    CHECK(mean_width(wide.over_ratio) > mean_width(wide.over_hz));
    REQUIRE(wide.spread.least_octave);
    CHECK(*narrow.spread.least_octave < *wide.spread.least_octave);
}

TEST_CASE("another gain is no change, and is said") {
    auto louder = engine(8);
    for (auto& v : louder) v *= 2.0F;
    const auto a = examined(engine(7)), b = examined(louder);
    const auto c = compare({{&a.portrait, a.summary}}, {{&b.portrait, b.summary}}, {});
    CHECK_THAT(c.level_offset.value(),
               within(6.02, 0.3, "factor 2; median of third octaves of 12 s of noise"));
    for (const auto& f : c.findings) CHECK_FALSE(f.flagged);
}

TEST_CASE("a hiss that comes is new, where it is, a hiss, and nothing else changed") {
    auto b = engine(12);
    add(b, around(noise(12.0, 1.0, 13), 5000.0));
    const auto found = flagged(engine(11), b, false);
    REQUIRE_FALSE(found.empty());
    const auto& f = found.front();
    CHECK(f.low < Hertz{5000});
    CHECK(f.high > Hertz{5000});
    CHECK(f.change->value() > 5.0);
    CHECK((f.verdict == Verdict::fresh || f.verdict == Verdict::stronger));
    CHECK(f.character == Character::hiss);
}

TEST_CASE("a rub that goes is a scrape at its beat ratio") {
    auto a = engine(21);
    add(a, gated(around(noise(12.0, 0.4, 22), 4000.0), 15.0 * 0.43, 0.0));
    const auto found = flagged(a, engine(23), false);
    REQUIRE_FALSE(found.empty());
    const auto& f = found.front();
    CHECK((f.verdict == Verdict::gone || f.verdict == Verdict::weaker));
    CHECK(f.character == Character::scrape);
    REQUIRE(f.beat_ratio);
    CHECK_THAT(f.beat_ratio->value(), within(0.43, 0.0086, "2 % in 10 s, the contract's"));
}

TEST_CASE("a knock once a cycle is a tick at half the crank's turns") {
    auto b = engine(32);
    add(b, gated(around(noise(12.0, 1.0, 33), 2500.0), 7.5, 0.05));
    const auto found = flagged(engine(31), b, false);
    REQUIRE_FALSE(found.empty());
    const auto& f = found.front();
    CHECK((f.verdict == Verdict::fresh || f.verdict == Verdict::stronger));
    CHECK(f.character == Character::tick);
    REQUIRE(f.beat_ratio);
    CHECK_THAT(f.beat_ratio->value(), within(0.5, 0.01, "2 % in 10 s, the contract's"));
}

TEST_CASE("a side without a usable recording is said, not compared") {
    const auto a = examined(engine(41));
    auto silent = examined(engine(42));
    silent.summary.quality.push_back({QualityCode::quiet, Severity::unusable, "silent", std::nullopt});
    const auto c = compare({{&a.portrait, a.summary}}, {{&silent.portrait, silent.summary}}, {});
    CHECK(c.findings.empty());
    REQUIRE(c.comparable.why.size() == 1);
    CHECK(c.comparable.why[0].find("second side") != std::string::npos);
}

TEST_CASE("one recording alone: what stands out has no second level and no change") {
    auto x = engine(51);
    for (std::size_t i = 0; i < x.size(); ++i)
        x[i] += static_cast<float>(
            0.02 * std::sin(2.0 * 3.14159265358979 * 15.0 * 21.3 * static_cast<double>(i) / rate));
    const auto e = examined(x);
    const auto found = standing_out({&e.portrait, e.summary}, {});
    REQUIRE_FALSE(found.empty());
    const auto tone = std::find_if(found.begin(), found.end(),
                                   [](const Finding& f) { return f.character == Character::tone; });
    REQUIRE(tone != found.end());
    REQUIRE(tone->ratio);
    CHECK_THAT(tone->ratio->value(), within(21.3, 0.03, "half a line of 32 turns, 1/64"));
    CHECK_FALSE(tone->b);
    CHECK_FALSE(tone->change);
}
