#include "signal/octaves.hpp"

#include <cmath>
#include <numbers>

#include "within.hpp"

using cranknote::signal::octaves;
using cranknote::test::within;

namespace {

constexpr double rate = 48000.0;

std::vector<float> tone(double hz, std::size_t n = 48000) {
    std::vector<float> x(n);
    for (std::size_t i = 0; i < n; ++i)
        x[i] = static_cast<float>(std::sin(2.0 * std::numbers::pi * hz * static_cast<double>(i) / rate));
    return x;
}

/// Away from the ends, where the tone's start and stop are heard.
double level_db(const std::vector<float>& x) {
    double sum = 0.0;
    for (std::size_t i = 30; i + 30 < x.size(); ++i)
        sum += static_cast<double>(x[i]) * static_cast<double>(x[i]);
    return 10.0 * std::log10(2.0 * sum / static_cast<double>(x.size() - 60) + 1e-30);
}

}  // namespace

TEST_CASE("Four halvings of 48 kHz keep what is low and refuse what would fold onto it") {
    // Rates: 3 kHz kept, 750 Hz low. A tone of amplitude 1 is 0 dB here.
    const auto low = octaves(tone(120.0), 6, 4);
    CHECK(low.kept.size() == 3000);
    CHECK(low.low.size() == 750);
    CHECK_THAT(level_db(low.kept),
               within(0.0, 0.05, "pass band of four 60 dB filters, a part beat at the ends of the sum"));
    CHECK_THAT(level_db(low.low),
               within(0.0, 0.05, "pass band of six 60 dB filters, a part beat at the ends of the sum"));
    // 3120 Hz and 880 Hz would fold to 120 Hz.
    CHECK(level_db(octaves(tone(3120.0), 6, 4).kept) < -55.0);
    CHECK(level_db(octaves(tone(880.0), 6, 4).low) < -55.0);
}

TEST_CASE("A sample of the low part stands where the input's sample stood") {
    const auto x = tone(100.0);
    const auto o = octaves(x, 4, 2);
    double worst = 0.0;
    for (std::size_t i = 50; i + 50 < o.low.size(); ++i)
        worst = std::max(worst, static_cast<double>(std::abs(o.low[i] - x[16 * i])));
    CHECK_THAT(worst, within(0.0, 0.004, "four pass bands of 60 dB filters, no delay"));
}

TEST_CASE("Each octave's mean square is in its own row, and a swell shows at its moment") {
    // 9 kHz is in the second octave (6 to 12 kHz); it is on for the second half only.
    auto x = tone(9000.0);
    std::fill(x.begin(), x.begin() + 24000, 0.0F);
    const auto o = octaves(x, 6, 4);
    REQUIRE(o.mean_squares.size() == 5);
    for (const auto& row : o.mean_squares) REQUIRE(row.size() == 750);
    const auto value = [&](std::size_t row, std::size_t i) {
        return static_cast<double>(o.mean_squares[row][i]);
    };
    CHECK_THAT(value(1, 600),
               within(0.5, 0.02, "half the amplitude's square, filter ripple and 64 samples' beat"));
    CHECK(value(1, 370) < 1e-5);
    CHECK_THAT(value(1, 375), within(0.25, 0.04, "half of the triangle lies after the start"));
    for (const std::size_t row : {0U, 2U, 3U, 4U}) CHECK(value(row, 600) < 2e-3);
}

TEST_CASE("Blocks leave no seam: lengths that are no multiple of the block agree with one that is") {
    const auto x = tone(333.0, 20001);
    const auto whole = octaves(x, 3, 1);
    const auto part = octaves(std::span(x).first(9000), 3, 1);
    CHECK(whole.low.size() == 2501);
    double worst = 0.0;
    for (std::size_t i = 0; i < 1100; ++i)
        worst = std::max(worst, static_cast<double>(std::abs(whole.low[i] - part.low[i])));
    CHECK_THAT(worst, within(0.0, 1e-6, "same float sums"));
}

TEST_CASE("Nothing in, nothing out") {
    const auto o = octaves({}, 4, 2);
    CHECK(o.low.empty());
    CHECK(o.kept.empty());
    CHECK(octaves(std::vector<float>{1.0F}, 0, 0).low.size() == 1);
}
