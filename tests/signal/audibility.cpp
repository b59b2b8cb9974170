#include "signal/audibility.hpp"

#include <cmath>
#include <vector>

#include "signal/tones.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::signal;
using cranknote::test::within;

namespace {

// ISO/PAS 20065, annex E: a combustion engine, lines 2.7 Hz apart, dB(A), in the critical band of 137.3 Hz.
const std::vector<double> engine = {49.40, 50.68, 50.09, 53.37, 44.47, 50.91, 51.41, 59.40, 64.54, 57.57,
                                    51.02, 50.76, 59.93, 62.94, 58.49, 65.87, 62.66, 50.25, 51.32, 52.30,
                                    52.58, 53.15, 67.04, 67.27, 57.40, 57.17, 52.56, 51.39, 52.49, 47.68,
                                    51.26, 49.03, 61.42, 59.52, 48.43, 50.84, 48.20, 55.95};
// The printed frequencies 96.9, 99.6 ... 196.5 are rounded: 37 steps in 99.6 Hz.
constexpr Hertz first{96.9}, line_step{99.6 / 37.0};
constexpr Hertz spacing{2.7};

struct Row {
    double hz, tone, noise_line, audibility;
};
// annex E: the nine tones of one spectrum (tone and noise levels); audibilities computed from those
const std::vector<Row> nine = {
    {118.4, 64.56, 48.91, 1.93}, {137.3, 67.96, 49.22, 5.01}, {158.8, 68.63, 50.50, 4.39},
    {314.9, 68.50, 52.85, 1.79}, {433.4, 73.17, 58.29, 0.89}, {592.2, 78.31, 59.53, 4.57},
    {629.8, 75.00, 59.71, 1.02}, {643.3, 79.75, 61.98, 3.47}, {1582.7, 71.07, 54.16, 0.75}};

}  // namespace

TEST_CASE("the worked example of ISO/PAS 20065: one tone from its 38 lines") {
    REQUIRE(engine.size() == 38);
    const auto band = critical_band(Hertz{137.3});
    CHECK_THAT(band.width().value(), within(101.36, 0.0051, "printed with two decimals"));
    CHECK_THAT(band.low.value(), within(95.67, 0.0051, "printed with two decimals"));
    CHECK_THAT(band.high.value(), within(197.04, 0.0101, "printed from unrounded frequency"));

    const auto a = tonal_audibility(engine, first, line_step, 15);
    REQUIRE(a);
    CHECK(a->first == 12);  // 129.2 Hz
    CHECK(a->last == 16);   // 140.0 Hz
    CHECK_THAT(a->noise_line.value(), within(49.22, 0.0051, "printed with two decimals"));
    CHECK_THAT(a->tone.value(), within(67.96, 0.0051, "printed with two decimals"));
    CHECK_THAT(a->noise_band.value(),
               within(64.97, 0.02, "line spacing 2.692 from the printed frequencies, 2.7 in the standard"));
    CHECK_THAT(a->masking.value(), within(-2.02, 0.0051, "printed with two decimals"));
    CHECK_THAT(a->audibility.value(), within(5.01, 0.02, "line spacing as above"));
    CHECK(a->narrow_enough);
    const Decibel exact = audibility_of(a->tone, a->noise_line, Hertz{137.3}, spacing);
    CHECK_THAT(exact.value(), within(5.01, 0.0051, "with the standard's 2.7 Hz; printed with two decimals"));
}

TEST_CASE("the worked example: nine tones and the mean of five spectra") {
    for (const Row& r : nine) {
        INFO(r.hz);
        CHECK_THAT(audibility_of(Decibel{r.tone}, Decibel{r.noise_line}, Hertz{r.hz}, spacing).value(),
                   within(r.audibility, 0.0101, "levels printed with two decimals"));
    }
    const std::vector<Decibel> near = {Decibel{64.56}, Decibel{67.96}, Decibel{68.63}};
    CHECK_THAT(level_sum(near).value(), within(72.15, 0.0051, "printed with two decimals"));
    const std::vector<Decibel> decisive = {Decibel{9.18}, Decibel{6.04}, Decibel{7.46}, Decibel{2.67},
                                           Decibel{7.17}};
    CHECK_THAT(level_mean(decisive).value(), within(6.98, 0.0051, "printed with two decimals"));
    CHECK(tonal_adjustment(level_mean(decisive)) == 4);
    CHECK(tonal_adjustment(Decibel{9.1}) == 5);
    CHECK(tonal_adjustment(Decibel{0.0}) == 0);
    CHECK(tonal_adjustment(Decibel{12.1}) == 6);
    CHECK(std::isnan(level_mean({}).value()));
}

TEST_CASE("what is no tone has no audibility") {
    CHECK_FALSE(tonal_audibility(engine, first, line_step, 17));  // 142.7 Hz, noise
    CHECK_FALSE(
        tonal_audibility(engine, first, line_step, 8));  // 118.4 Hz: its critical band begins below the lines
    CHECK_FALSE(tonal_audibility(engine, first, line_step, 99));
    std::vector<double> flat(400, 40.0);
    flat[200] = 44.0;  // L_S is 38.24 dB here
    CHECK_FALSE(tonal_audibility(flat, Hertz{0}, spacing, 200));
    flat[200] = 70.0;
    const auto single = tonal_audibility(flat, Hertz{0}, spacing, 200);
    REQUIRE(single);
    CHECK(single->first == single->last);
    CHECK_THAT(single->tone.value(), within(70.0, 1e-9, "one line alone takes no bandwidth correction"));
    CHECK_THAT(single->noise_line.value(), within(40.0 - 1.7609, 5.1e-5, "10 lg(1/1.5) = -1.7609 dB"));
    flat[10] = 90.0;
    CHECK_FALSE(tonal_audibility(flat, Hertz{0}, spacing, 10));  // 27 Hz: below the standard's range
    for (std::size_t i = 190; i < 215; ++i) flat[i] = 70.0;
    const auto wide = tonal_audibility(flat, Hertz{0}, spacing, 200);
    CHECK((!wide || !wide->narrow_enough));  // 68 Hz wide at 540 Hz is a band, not a tone
}

TEST_CASE("the noise is found among tones") {
    const std::vector<double> powers = {1, 1, 1, 1, 1, 50, 1, 100, 1, 1, 1, 40, 1, 1, 1};
    const auto noise = noise_lines(powers, 7, std::pow(10.0, 0.6));
    CHECK_THAT(noise.mean, within(1.0, 1e-12, "all tones dropped"));
    CHECK_FALSE(noise.kept[5]);
    CHECK_FALSE(noise.kept[7]);
    CHECK_FALSE(noise.kept[11]);
    CHECK(noise.kept[0]);
    const std::vector<double> few = {1, 50, 1, 50, 100, 1, 1, 1, 1, 1};  // would leave two below
    CHECK_THAT(noise_lines(few, 4, std::pow(10.0, 0.6)).mean,
               within(107.0 / 9.0, 1e-12, "the first mean stands"));
}
