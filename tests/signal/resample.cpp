// Accuracy of the interpolation that carries samples from time to crank angle.
#include "signal/resample.hpp"

#include <cmath>
#include <numbers>

#include "within.hpp"

using cranknote::signal::decimated;
using cranknote::signal::Interpolator;
using cranknote::test::within;

namespace {

constexpr double tau = 2.0 * std::numbers::pi;

std::vector<float> tone(double frequency, std::size_t n) {
    std::vector<float> x(n);
    for (std::size_t i = 0; i < n; ++i)
        x[i] = static_cast<float>(std::sin(tau * frequency * static_cast<double>(i) + 0.4));
    return x;
}

/// What of y is a tone of this frequency at these positions (least squares), and what is not.
struct Fit {
    double gain_db, rest_db;
};

Fit fit(const std::vector<float>& y, const std::vector<double>& at, double frequency) {
    double cc = 0, cs = 0, ss = 0, yc = 0, ys = 0, yy = 0;
    for (std::size_t i = 0; i < y.size(); ++i) {
        const double c = std::cos(tau * frequency * at[i]), s = std::sin(tau * frequency * at[i]);
        const auto v = static_cast<double>(y[i]);
        cc += c * c, cs += c * s, ss += s * s, yc += v * c, ys += v * s, yy += v * v;
    }
    const double det = cc * ss - cs * cs;
    const double a = (yc * ss - ys * cs) / det, b = (ys * cc - yc * cs) / det;
    const double rest = std::max(0.0, yy - a * yc - b * ys);
    return {10.0 * std::log10(a * a + b * b), 10.0 * std::log10(rest / yy + 1e-30)};
}

Fit interpolated(double frequency, double step) {
    const auto x = tone(frequency, 6000);
    std::vector<double> at;
    for (double p = 100.0; p < 5900.0; p += step) at.push_back(p);
    std::vector<float> y(at.size());
    Interpolator{}.at(x, at, y);
    return fit(y, at, frequency);
}

}  // namespace

TEST_CASE("Resampling keeps the pass band within 0.01 dB up to 0.4 of the rate") {
    for (const double f : {0.001, 0.01, 0.05, 0.1, 0.2, 0.3, 0.35, 0.38, 0.4}) {
        INFO("tone at " << f << " of the sampling rate");
        CHECK_THAT(interpolated(f, 0.7310585).gain_db,
                   within(0.0, 0.01,
                          "stated accuracy of signal/resample.hpp; linear interpolation would lose "
                          "0.3 dB at 0.1"));
    }
}

TEST_CASE("Images and everything else that is not the tone stay below -90 dB up to 0.4 of the rate") {
    for (const double f : {0.01, 0.05, 0.1, 0.2, 0.3, 0.35, 0.38, 0.4})
        for (const double step : {0.7310585, 1.0136}) {
            INFO("tone at " << f << " of the sampling rate, read every " << step << " samples");
            CHECK(interpolated(f, step).rest_db < -90.0);
        }
}

TEST_CASE("Linear interpolation would not do") {
    // At 0.1 of the rate: gain sinc^2(0.1) = -0.286 dB and an image of -37 dB (computed); the measure sees
    // it.
    const double f = 0.1;
    const auto x = tone(f, 6000);
    std::vector<double> at;
    std::vector<float> y;
    for (double p = 100.0; p < 5900.0; p += 0.7310585) {
        const auto i = static_cast<std::size_t>(p);
        const auto w = static_cast<float>(p - static_cast<double>(i));
        at.push_back(p);
        y.push_back(x[i] * (1.0F - w) + x[i + 1] * w);
    }
    const auto got = fit(y, at, f);
    const double sinc = std::sin(std::numbers::pi * f) / (std::numbers::pi * f);
    CHECK_THAT(got.gain_db, within(40.0 * std::log10(sinc), 0.01, "sinc^2, computed; 7934 samples"));
    CHECK(got.rest_db > -45.0);
}

TEST_CASE("A sample position that is whole gives the sample") {
    const auto x = tone(0.13, 200);
    const Interpolator kernel;
    for (const std::size_t i : {60U, 100U, 137U})
        CHECK_THAT(static_cast<double>(kernel.at(x, static_cast<double>(i))),
                   within(static_cast<double>(x[i]), 1e-5, "float taps scaled to sum to one"));
}

TEST_CASE("Beyond the ends there is silence") {
    const std::vector<float> x(100, 1.0F);
    const Interpolator kernel;
    CHECK(kernel.at(x, -500.0) == 0.0F);
    CHECK(kernel.at(x, 700.0) == 0.0F);
}

TEST_CASE("A lower rate keeps what it can hold and folds nothing back") {
    // 48 kHz to 3 kHz: 700 Hz stays, 2300 Hz would fold to 700 Hz.
    const auto level = [](double hz) {
        const auto y = decimated(tone(hz / 48000.0, 48000), 48000.0, 3000.0);
        double sum = 0.0;
        for (std::size_t i = 300; i < 2700; ++i) sum += static_cast<double>(y[i]) * static_cast<double>(y[i]);
        return 10.0 * std::log10(sum / 2400.0 / 0.5 + 1e-30);
    };
    CHECK_THAT(level(700.0),
               within(0.0, 0.02, "pass band to 0.4 of the new rate, 1 % of a beat at the ends"));
    CHECK(level(2300.0) < -80.0);
    CHECK(level(9000.0) < -80.0);
}
