// Sound made ready for ears, measured without a sound card.
#include "audio/audition.hpp"

#include <catch2/catch.hpp>
#include <random>

#include "audio/test_signal.hpp"
#include "units/error.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

const SampleRate rate{48000};

std::vector<float> tone(double hz, double seconds, double amplitude = 0.5, SampleRate r = rate) {
    std::vector<float> x(static_cast<std::size_t>(seconds * r.value()));
    for (std::size_t i = 0; i < x.size(); ++i)
        x[i] = static_cast<float>(amplitude * std::sin(two_pi * hz * static_cast<double>(i) / r.value()));
    return x;
}

std::vector<float> noise(double seconds, double rms, unsigned seed = 1) {
    std::mt19937 random(seed);
    std::normal_distribution<float> normal(0, static_cast<float>(rms));
    std::vector<float> x(static_cast<std::size_t>(seconds * rate.value()));
    for (auto& v : x) v = normal(random);
    return x;
}

void add(std::vector<float>& x, const std::vector<float>& y) {
    for (std::size_t i = 0; i < std::min(x.size(), y.size()); ++i) x[i] += y[i];
}

/// A tick: 1 ms of a 4 kHz ring that dies away.
void add_tick(std::vector<float>& x, double at_s) {
    const auto at = static_cast<std::size_t>(at_s * rate.value());
    for (std::size_t i = 0; i < 96 && at + i < x.size(); ++i)
        x[at + i] += static_cast<float>(0.8 * std::exp(-static_cast<double>(i) / 24) *
                                        std::sin(two_pi * 4000 * static_cast<double>(i) / rate.value()));
}

/// Moments at which the 1 ms energy stands 100 times over its median, at least 10 ms apart.
std::vector<double> ticks_in(const std::vector<float>& x) {
    std::vector<double> energy;
    for (std::size_t at = 0; at + 48 <= x.size(); at += 48) {
        double e = 0;
        for (std::size_t i = at; i < at + 48; ++i) e += static_cast<double>(x[i]) * x[i];
        energy.push_back(e);
    }
    auto sorted = energy;
    std::sort(sorted.begin(), sorted.end());
    const double limit = 10 * sorted[sorted.size() / 2];
    std::vector<double> found;
    for (std::size_t i = 0; i < energy.size(); ++i)
        if (energy[i] > limit && (found.empty() || static_cast<double>(i) / 1000 - found.back() > 0.005))
            found.push_back(static_cast<double>(i) / 1000);
    return found;
}

double level(const std::vector<float>& x, double hz, double from = 0.5, double to = 1.5) {
    return db(tone_amplitude(x, rate, hz, from, to));
}

}  // namespace

TEST_CASE("a band alone keeps its tones at their level and place, and removes the rest") {
    auto x = tone(300, 2);
    add(x, tone(1000, 2, 0.1));
    add(x, tone(3000, 2));
    const auto y = band_alone(x, rate, Hertz{800}, Hertz{1200});
    REQUIRE(y.size() == x.size());
    CHECK_THAT(level(y, 1000), within(-20, 0.01, "70 dB filter: ripple 0.003 dB"));
    CHECK(level(y, 300) < -66);  // -6 dB tone, 60 dB down as the header says
    CHECK(level(y, 3000) < -66);
    // No delay: what is left is the tone itself, not a shifted one (0.1 rad late would leave -20 dB of it).
    const auto alone = tone(1000, 2, 0.1);
    double worst = 0;
    for (std::size_t i = 30000; i < 60000; ++i) worst = std::max<double>(worst, std::abs(y[i] - alone[i]));
    CHECK_THAT(worst, within(0, 0.001, "ripple and the rest at -66 dB"));
}

TEST_CASE("the edges of a band are 6 dB down, and the rest can be ducked instead of removed") {
    auto x = tone(1000, 2);
    CHECK_THAT(level(band_alone(x, rate, Hertz{1000}, Hertz{2000}), 1000),
               within(-12.04, 0.05, "half the amplitude at the edge"));
    CHECK_THAT(level(band_alone(x, rate, Hertz{2000}, Hertz{4000}, Decibel{-20}), 1000),
               within(-26.02, 0.02, "20 dB below -6.02"));
    CHECK_THAT(level(band_alone(x, rate, Hertz{500}, Hertz{4000}, Decibel{-20}), 1000),
               within(-6.02, 0.01, "its own level"));
    CHECK_THAT(level(band_alone(x, rate, Hertz{0}, Hertz{2000}), 1000),
               within(-6.02, 0.01, "from the bottom"));
    CHECK_THAT(level(band_alone(x, rate, Hertz{500}, Hertz{99999}), 1000), within(-6.02, 0.01, "to the top"));
    CHECK(band_alone(std::vector<float>{}, rate, Hertz{500}, Hertz{600}).empty());
    CHECK_THROWS_AS(band_alone(x, rate, Hertz{600}, Hertz{600}), Error);
    CHECK_THROWS_AS(band_alone(x, rate, Hertz{30000}, Hertz{40000}), Error);
    CHECK_THROWS_AS(band_alone(x, rate, Hertz{NAN}, Hertz{40000}), Error);
}

TEST_CASE("lines alone follow the speed") {
    // A line at 10x of a speed that rises from 600 to 900 rpm, beside one that does not move.
    SpeedTrack track{{Seconds{0}, Seconds{2}}, {Rpm{600}, Rpm{900}}};
    std::vector<float> line(96000), x;
    for (std::size_t i = 0; i < line.size(); ++i)
        line[i] = static_cast<float>(
            0.3 * std::sin(two_pi * 10 * track.turns_at(Seconds{static_cast<double>(i) / 48000})));
    x = line;
    add(x, tone(400, 2));
    const Ratio ratios[] = {Ratio{10}};
    const auto y = lines_alone(x, rate, ratios, track, Hertz{20});
    REQUIRE(y.size() == x.size());
    double off = 0, all = 0;
    for (std::size_t i = 5000; i < 91000; ++i) {
        off += std::pow(y[i] - line[i], 2);
        all += std::pow(line[i], 2);
    }
    CHECK(db(std::sqrt(off / all)) < -25);  // the sweep's own spread over the mask's edge
    const auto none = lines_alone(x, rate, ratios, SpeedTrack{}, Hertz{20});
    CHECK(std::all_of(none.begin(), none.end(), [](float v) { return std::abs(v) < 1e-6F; }));
    const auto ducked = lines_alone(x, rate, {}, track, Hertz{20}, Decibel{-12});
    CHECK_THAT(level(ducked, 400), within(-18.02, 0.05, "12 dB below -6.02; windows add up to one"));
}

TEST_CASE("half speed: twice as long, the same pitch and level") {
    for (const double hz : {100.0, 440.0, 1234.5, 5000.0}) {
        INFO(hz << " Hz");
        const auto y = half_speed(tone(hz, 2), rate);
        REQUIRE(y.size() == 192000);
        double energy = 0, crossings = 0;
        for (std::size_t i = 24000; i < 168000; ++i) {
            energy += static_cast<double>(y[i]) * y[i];
            crossings += y[i - 1] < 0 && y[i] >= 0 ? 1 : 0;
        }
        CHECK_THAT(db(std::sqrt(energy / 144000)),
                   within(-9.03, 0.2, "seams fitted to a sample: 0.65 rad at 5 kHz at worst"));
        CHECK_THAT(crossings / 3,
                   within(hz, 0.01 * hz + 1, "a seam every 30 ms shifts the phase a little; one count"));
    }
    CHECK(half_speed(std::vector<float>{}, rate).empty());
    const auto y = half_speed(noise(2, 0.1), rate);
    double energy = 0;
    for (const float v : y) energy += static_cast<double>(v) * v;
    CHECK_THAT(db(std::sqrt(energy / static_cast<double>(y.size()))),
               within(-20, 1.5, "seams of unlike noise lose up to 3 dB for a moment"));
}

TEST_CASE("half speed neither doubles nor loses a tick") {
    for (const double rate_hz : {6.7, 13.4, 26.8}) {  // valve and firing ticks at idle
        auto x = noise(4, 0.01);
        add(x, tone(180, 4, 0.02));
        std::vector<double> at;
        for (double t = 0.1; t < 3.9; t += 1 / rate_hz) at.push_back(t);
        for (const double t : at) add_tick(x, t);
        REQUIRE(ticks_in(x).size() == at.size());
        const auto found = ticks_in(half_speed(x, rate));
        INFO(rate_hz << " ticks a second");
        REQUIRE(found.size() == at.size());
        for (std::size_t i = 0; i < at.size(); ++i)
            CHECK_THAT(found[i], within(2 * at[i], 0.002, "ticks are found and counted in milliseconds"));
    }
}

TEST_CASE("the loudest second") {
    auto x = noise(5, 0.01);
    add(x, [] {
        auto y = tone(500, 5);
        for (std::size_t i = 0; i < y.size(); ++i)
            if (i < 120000 || i >= 168000) y[i] = 0;
        return y;
    }());
    const auto [first, last] = loudest(x, rate);
    CHECK(last - first == 48000);
    CHECK_THAT(static_cast<double>(first), within(120000, 30, "a sample of noise against one of tone"));
    CHECK(loudest(tone(100, 0.5), rate) == std::pair<std::size_t, std::size_t>{0, 24000});
    CHECK(loudest(std::vector<float>{}, rate) == std::pair<std::size_t, std::size_t>{0, 0});
}

TEST_CASE("a loop has no step at its seam") {
    const auto x = tone(333.3, 3);
    const auto loop = seamless(x, rate, 50000, 98000);
    REQUIRE(loop.size() == 48000);
    const double largest_step = 0.5 * two_pi * 333.3 / 48000;
    CHECK(std::abs(loop.front() - loop.back()) < 1.5 * largest_step);
    CHECK(std::abs(x[50000] - x[97999]) > 5 * largest_step);  // there would have been one
    for (std::size_t i = 1; i < loop.size(); ++i)
        REQUIRE(std::abs(loop[i] - loop[i - 1]) < 2.5 * largest_step);
    CHECK(seamless(x, rate, 9, 9).empty());
    CHECK(seamless(x, rate, 0, 999999).size() == x.size());
}

TEST_CASE("two sounds at one level, whatever a knock does") {
    auto a = noise(4, 0.1);
    const auto b = noise(4, 0.025, 2);
    for (std::size_t i = 10000; i < 12000; ++i) a[i] = 0.9F;
    const auto [ga, gb] = level_match(a, rate, b, rate);
    CHECK_THAT(ga.value(), within(-12.04, 0.15, "80 blocks of 2400 samples: 0.03 dB each side, times 3"));
    CHECK(gb == Decibel{0});
    CHECK(level_match(a, rate, std::vector<float>(48000, 0.0F), rate).first == Decibel{0});
}

TEST_CASE("another rate, one channel of many") {
    const auto y = at_rate(tone(1000, 2, 0.5, SampleRate{44100}), SampleRate{44100}, rate);
    CHECK(y.size() == 96000);
    CHECK_THAT(level(y, 1000), within(-6.02, 0.02, "interpolation within 0.01 dB"));
    Recording r{rate, {{1, 1}, {0, 0.5F}}};
    CHECK(mono(r) == std::vector<float>{0.5F, 0.75F});
    CHECK(mono(r, 1) == std::vector<float>{0, 0.5F});
    CHECK(mono(Recording{}).empty());
}
