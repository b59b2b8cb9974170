#include "signal/tones.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "signal/spectrum.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::signal;
using cranknote::test::within;

namespace {

constexpr double tau = 2.0 * std::numbers::pi;

struct Sine {
    double hz, rms;
};

/// 16 s of 48 kHz white noise of this rms with tones, averaged with 1 Hz lines at half overlap.
Spectrum spectrum_of(const std::vector<Sine>& sines, double noise_rms) {
    std::mt19937_64 random(418);
    std::normal_distribution<double> gauss(0.0, noise_rms);
    std::vector<float> x(16 * 48000);
    for (std::size_t i = 0; i < x.size(); ++i) {
        double v = gauss(random);
        for (const Sine& s : sines)
            v += s.rms * std::numbers::sqrt2 * std::sin(tau * s.hz * static_cast<double>(i) / 48000.0);
        x[i] = static_cast<float>(v);
    }
    return averaged_spectrum(x, 48000.0, 48000, 24000);
}

}  // namespace

TEST_CASE("critical bands of ECMA-418-1") {
    CHECK_THAT(critical_bandwidth(Hertz{1000}).value(), within(162.2, 0.051, "printed with one decimal"));
    CHECK_THAT(critical_bandwidth(Hertz{500}).value(), within(117.3, 0.051, "printed with one decimal"));
    CHECK_THAT(critical_band(Hertz{1000}).low.value(), within(922.2, 0.051, "printed with one decimal"));
    CHECK_THAT(critical_band(Hertz{1000}).high.value(), within(1084.4, 0.051, "printed with one decimal"));
    CHECK(critical_band_ecma(Hertz{1000}).low == critical_band(Hertz{1000}).low);
    CHECK_THAT(critical_band_ecma(Hertz{200}).low.value() + critical_band_ecma(Hertz{200}).high.value(),
               within(400.0, 1e-9, "arithmetic middle below 500 Hz"));
    const auto low = critical_band(Hertz{200});
    CHECK_THAT(std::sqrt(low.low.value() * low.high.value()), within(200.0, 1e-9, "geometric middle"));
}

TEST_CASE("criteria and proximity of ECMA-418-1") {
    struct Row {
        double hz, tone_to_noise, prominence;
    };
    // computed from the standard's formulae
    for (const Row& r : {Row{200, 13.82, 15.99}, Row{500, 10.51, 12.01}, Row{850, 8.59, 9.71},
                         Row{1000, 8, 9}, Row{5000, 8, 9}}) {
        CHECK_THAT(tone_to_noise_criterion(Hertz{r.hz}).value(),
                   within(r.tone_to_noise, 0.0051, "two decimals"));
        CHECK_THAT(prominence_criterion(Hertz{r.hz}).value(), within(r.prominence, 0.0051, "two decimals"));
    }
    CHECK_THAT(tone_proximity(Hertz{150}).value(), within(23.0, 0.0051, "computed, two decimals"));
    CHECK_THAT(tone_proximity(Hertz{850}).value(), within(63.84, 0.0051, "computed, two decimals"));
}

TEST_CASE("prominence ratio on exact spectra") {
    // One line of power 0.01 at 1 kHz in noise of power 0.0025 over 0 to 24 kHz: 27.83 dB (computed from the
    // band edges 782.5, 922.2, 1084.4 and 1261.5 Hz; construction: ECMA-418-1 conformance examples)
    std::vector<float> density(24001, 0.0025F / 24000.0F);
    density[1000] += 0.01F;
    CHECK_THAT(prominence_ratio(density, Hertz{1}, Hertz{1000})->value(),
               within(27.83, 0.0051, "two decimals"));
    const std::vector<float> flat(24001, 1.0F);
    // In flat noise the ratio is that of the widths; at and below 171.4 Hz the cut lower band counts as 100
    // Hz wide.
    const auto at150 = critical_band_ecma(Hertz{150});
    const double above = 149.5 + 1.035 * 150 + 7.70e-5 * 150 * 150 - at150.high.value();
    CHECK_THAT(
        prominence_ratio(flat, Hertz{1}, Hertz{150})->value(),
        within(10.0 * std::log10(at150.width().value() / (0.5 * (100.0 + above))), 1e-5, "float density"));
    for (const double hz : {250.0, 1000.0, 1700.0, 8000.0}) {
        CHECK_THAT(prominence_ratio(flat, Hertz{1}, Hertz{hz})->value(),
                   within(0.0, 0.35, "neighbours are critical bands too, of nearly the same width"));
    }
    CHECK_FALSE(prominence_ratio(flat, Hertz{1}, Hertz{80}));
    CHECK_FALSE(prominence_ratio(flat, Hertz{1}, Hertz{12000}));
    CHECK_FALSE(
        prominence_ratio(std::vector<float>(1000, 1.0F), Hertz{1}, Hertz{900}));  // a band beyond the end
    CHECK_FALSE(prominence_ratio(std::vector<float>(24001, 0.0F), Hertz{1}, Hertz{1000}));
    CHECK_FALSE(prominence_ratio({}, Hertz{1}, Hertz{1000}));
}

TEST_CASE("a 1 kHz tone in white noise") {
    // rms 0.1 in rms 0.05 over 0 to 24 kHz: 27.72 and 27.83 dB (computed; construction: ECMA-418-1
    // conformance examples)
    const auto s = spectrum_of({{1000, 0.1}}, 0.05);
    const auto tone = tone_at(s.density, Hertz{s.step}, 1000);
    REQUIRE(tone);
    CHECK_THAT(
        tone->tone_to_noise.value(),
        within(27.72, 0.4, "noise from 155 lines of 59 degrees of freedom: 0.1 dB; lines over 6 dB dropped"));
    CHECK_THAT(tone->prominence->value(),
               within(27.83, 0.1, "noise from 317 lines of 59 degrees of freedom: 0.05 dB, two sigma"));
    CHECK_THAT(tone->level.value(),
               within(-20.0, 0.02, "the tone's own beating with the noise, 1/16 s at -69 dB a line"));
    CHECK_THAT(tone->frequency.value(),
               within(1000.0, 0.01, "centre of three lines, noise 40 dB lower each"));
    CHECK(is_prominent(*tone));
}

TEST_CASE("tones are found, told apart, and not invented") {
    const auto s = spectrum_of({{300.4, 0.01}, {700, 0.003}, {820, 0.01}, {3000, 0.1}}, 0.05);
    const auto tones = find_tones(s.density, Hertz{s.step});
    REQUIRE(tones.size() == 4);
    CHECK_THAT(tones[0].frequency.value(), within(300.4, 0.05, "between two lines; noise 15 dB lower each"));
    CHECK_THAT(tones[0].level.value(),
               within(-40.0, 0.2, "power of all its lines, however it falls between them"));
    CHECK_THAT(tones[1].frequency.value(), within(700.0, 0.1, "a weak line"));
    CHECK_THAT(tones[2].frequency.value(),
               within(820.0, 0.05, "not merged with 700: proximity is 53 Hz there"));
    CHECK_THAT(tones[2].level.value(), within(-40.0, 0.2, "a neighbour 120 Hz off adds nothing"));
    CHECK(find_tones(spectrum_of({}, 0.05).density, Hertz{1}).empty());
    CHECK(find_tones(std::vector<float>(24001, 0.0F), Hertz{1}).empty());
    CHECK(find_tones({}, Hertz{1}).empty());
}

TEST_CASE("two lines within the proximity are one tone") {
    const auto s = spectrum_of({{1000, 0.01}, {1030, 0.009}}, 0.05);
    const auto tone = tone_at(s.density, Hertz{s.step}, 1000);
    REQUIRE(tone);
    CHECK_THAT(tone->level.value(), within(10.0 * std::log10(1e-4 + 0.81e-4), 0.1, "both powers"));
    CHECK_FALSE(tone_at(s.density, Hertz{s.step}, 1001));  // a slope, not the peak
    CHECK_FALSE(tone_at(s.density, Hertz{s.step}, 1015));  // noise between them
    CHECK_FALSE(tone_at(s.density, Hertz{s.step}, 50));    // below the standard's range
    CHECK_FALSE(tone_at(s.density, Hertz{s.step}, 999999));
    CHECK_FALSE(tone_at(s.density, Hertz{20}, 50));  // eight lines in a critical band are too few
}
