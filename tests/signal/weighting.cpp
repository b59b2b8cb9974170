#include "signal/weighting.hpp"

#include <cmath>
#include <utility>
#include <vector>

#include "within.hpp"

using namespace cranknote;
using namespace cranknote::signal;
using cranknote::test::within;

TEST_CASE("A-weighting at the exact middles") {
    // IEC 61672-1, table 3: from 10 Hz in third octaves
    const std::vector<double> table = {-70.4, -63.4, -56.7, -50.5, -44.7, -39.4, -34.6, -30.2, -26.2,
                                       -22.5, -19.1, -16.1, -13.4, -10.9, -8.6,  -6.6,  -4.8,  -3.2,
                                       -1.9,  -0.8,  0.0,   0.6,   1.0,   1.2,   1.3,   1.2,   1.0,
                                       0.5,   -0.1,  -1.1,  -2.5,  -4.3,  -6.6,  -9.3};
    for (std::size_t i = 0; i < table.size(); ++i) {
        const Hertz f{10.0 * std::pow(10.0, static_cast<double>(i) / 10.0)};
        INFO(f.value() << " Hz");
        CHECK_THAT(a_weighting(f).value(), within(table[i], 0.0501, "printed with one decimal"));
    }
    // computed from the formula and the exact poles
    CHECK_THAT(a_weighting(Hertz{100}).value(), within(-19.143, 5.1e-4, "three decimals"));
    CHECK_THAT(a_weighting(Hertz{3162.278}).value(), within(1.199, 5.1e-4, "three decimals"));
    CHECK_THAT(a_weighting(Hertz{10000}).value(), within(-2.492, 5.1e-4, "three decimals"));
    CHECK(std::isinf(a_weighting(Hertz{0}).value()));
}

TEST_CASE("C-weighting") {
    // memory: IEC 61672-1, table 3
    for (const auto& [hz, level] :
         {std::pair{31.623, -3.0}, {63.096, -0.8}, {1000.0, 0.0}, {7943.28, -3.0}, {15848.93, -8.5}}) {
        CHECK_THAT(c_weighting(Hertz{hz}).value(), within(level, 0.0501, "printed with one decimal"));
    }
}

TEST_CASE("third-octave bands") {
    // computed: 1000 * 10^(n/10)
    const std::vector<double> middles = {
        19.953,   25.119,   31.623,   39.811,   50.119,   63.096,   79.433,   100,   125.893,  158.489,
        199.526,  251.189,  316.228,  398.107,  501.187,  630.957,  794.328,  1000,  1258.925, 1584.893,
        1995.262, 2511.886, 3162.278, 3981.072, 5011.872, 6309.573, 7943.282, 10000, 12589.25, 15848.93};
    const std::vector<double> nominal = {20,   25,   31.5, 40,   50,   63,   80,   100,   125,   160,
                                         200,  250,  315,  400,  500,  630,  800,  1000,  1250,  1600,
                                         2000, 2500, 3150, 4000, 5000, 6300, 8000, 10000, 12500, 16000};
    const auto bands = fractional_octave_bands(3, Hertz{19}, Hertz{16000});
    REQUIRE(bands.size() == middles.size());
    for (std::size_t i = 0; i < bands.size(); ++i) {
        CHECK_THAT(bands[i].middle.value(), within(middles[i], 5.1e-4 + 1e-6 * middles[i],
                                                   "printed with three decimals, or seven digits"));
        CHECK_THAT(nominal_middle(bands[i].middle).value(),
                   within(nominal[i], 1e-9, "ISO 266; a power of ten, rounded"));
        if (i > 0)
            CHECK_THAT(bands[i].low.value(),
                       within(bands[i - 1].high.value(), 1e-9, "neighbours share their edge"));
    }
    CHECK_THAT(band_of(3, 0).low.value(), within(891.251, 5.1e-4, "computed, three decimals"));
    CHECK_THAT(band_of(3, 0).high.value(), within(1122.018, 5.1e-4, "computed, three decimals"));
}

TEST_CASE("octaves and even fractions") {
    CHECK_THAT(band_of(1, 0).low.value(), within(707.946, 5.1e-4, "computed, three decimals"));
    CHECK_THAT(band_of(1, 0).high.value(), within(1412.538, 5.1e-4, "computed, three decimals"));
    CHECK_THAT(band_of(1, 1).middle / band_of(1, 0).middle,
               within(1.995262, 5.1e-7, "G = 10^0.3, six decimals"));
    // IEC 61260-1: with an even fraction 1 kHz is an edge, not a middle
    CHECK_THAT(band_of(6, 0).low.value(), within(1000.0, 1e-9, "the definition"));
    CHECK_THAT(band_of(6, -1).high.value(), within(1000.0, 1e-9, "the definition"));
    CHECK(fractional_octave_bands(6, Hertz{100}, Hertz{200}).size() == 6);
    CHECK(fractional_octave_bands(3, Hertz{200}, Hertz{100}).empty());
    CHECK(fractional_octave_bands(3, Hertz{0}, Hertz{100}).empty());
}
