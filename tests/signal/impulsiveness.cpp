#include "signal/impulsiveness.hpp"

#include <cmath>
#include <complex>
#include <functional>
#include <numbers>
#include <random>

#include "within.hpp"

using namespace cranknote::signal;
using cranknote::test::within;

namespace {

constexpr double tau = 2.0 * std::numbers::pi;

std::vector<float> made(std::size_t n, const std::function<double(double)>& f) {
    std::vector<float> x(n);
    for (std::size_t i = 0; i < n; ++i)
        x[i] = static_cast<float>(f(static_cast<double>(i) / static_cast<double>(n)));
    return x;
}

double am_kurtosis(double carrier, double m) {
    return carrier * (1.0 + 3.0 * m * m + 3.0 * std::pow(m, 4) / 8.0) / std::pow(1.0 + m * m / 2.0, 2);
}

const std::string whole_cycles = "exact over whole cycles; float samples";

}  // namespace

TEST_CASE("kurtosis of standard signals") {
    // computed: moments of each signal
    constexpr std::size_t n = 48000;
    CHECK_THAT(kurtosis(made(n, [](double t) { return std::sin(tau * 10 * t + 0.1) > 0 ? 1.0 : -1.0; })),
               within(1.0, 1e-6, whole_cycles));
    CHECK_THAT(kurtosis(made(n, [](double t) { return 3.0 + std::sin(tau * 10 * t); })),
               within(1.5, 1e-6, whole_cycles));
    CHECK_THAT(kurtosis(made(n, [](double t) { return t; })),
               within(1.8, 1e-6, "uniform; 1/n^2 from the grid"));
    for (const int tones : {1, 2, 3, 6, 12}) {
        const auto x = made(480000, [&](double t) {
            double sum = 0.0;
            for (int k = 0; k < tones; ++k)
                sum += std::cos(tau * std::round(1000.0 * std::pow(1.37, k)) * t + k * k);
            return sum;
        });
        CHECK_THAT(kurtosis(x), within(3.0 - 1.5 / tones, 0.005,
                                       "whole cycles; four-fold products of so many tones may meet"));
    }
    CHECK(std::isnan(kurtosis(std::vector<float>{1.0F})));
    CHECK(std::isnan(kurtosis(std::vector<float>(100, 0.5F))));
}

TEST_CASE("kurtosis of noise, and how sure it is") {
    std::mt19937_64 random(3);
    std::normal_distribution<float> gauss;
    CHECK_THAT(kurtosis_deviation(48000), within(0.0224, 5.1e-5, "computed to four decimals"));
    CHECK(std::isnan(kurtosis_deviation(3)));
    double sum = 0.0, squares = 0.0;
    constexpr int trials = 400, n = 500;
    for (int i = 0; i < trials; ++i) {
        std::vector<float> x(n);
        for (float& v : x) v = gauss(random);
        const double k = kurtosis(x);
        sum += k;
        squares += k * k;
    }
    const double mean = sum / trials, deviation = std::sqrt(squares / trials - mean * mean);
    CHECK_THAT(mean, within(3.0 * (n - 1.0) / (n + 1.0), 0.044, "4 standard errors of 0.217 / sqrt(400)"));
    CHECK_THAT(deviation,
               within(kurtosis_deviation(n), 0.05, "the deviation of a skewed statistic over 400 trials"));

    std::exponential_distribution<float> magnitude;
    std::vector<float> laplace(400000);
    for (float& v : laplace) v = (random() & 1U ? 1.0F : -1.0F) * magnitude(random);
    CHECK_THAT(kurtosis(laplace),
               within(6.0, 0.4, "5 standard errors; the eighth moment of Laplace is 40320 / 16 sigma^8"));
}

TEST_CASE("kurtosis of a swelling carrier") {
    // computed: 1.5 (1 + 3 m^2 + 3 m^4/8) / (1 + m^2/2)^2, and twice that for a Gaussian carrier
    CHECK_THAT(am_kurtosis(1.5, 0.5), within(2.1019, 5.1e-5, "four decimals"));
    CHECK_THAT(am_kurtosis(3.0, 1.0), within(5.8333, 5.1e-5, "four decimals"));
    for (const double m : {0.5, 1.0}) {
        const auto tone = made(
            480000, [&](double t) { return (1.0 + m * std::cos(tau * 30 * t)) * std::sin(tau * 5000 * t); });
        CHECK_THAT(kurtosis(tone), within(am_kurtosis(1.5, m), 1e-5, whole_cycles));
        std::mt19937_64 random(17);
        std::normal_distribution<double> gauss;
        const auto noise =
            made(480000, [&](double t) { return (1.0 + m * std::cos(tau * 30 * t)) * gauss(random); });
        CHECK_THAT(kurtosis(noise), within(am_kurtosis(3.0, m), 0.15,
                                           "5 standard errors of a heavy-tailed mean of fourth powers"));
    }
}

TEST_CASE("crest factor") {
    CHECK_THAT(crest_factor(made(4800, [](double t) { return std::sin(tau * 10 * t); })),
               within(std::numbers::sqrt2, 1e-6, whole_cycles));
    const auto triangle =
        made(48000, [](double t) { return 4.0 * std::abs(10 * t - std::floor(10 * t + 0.5)) - 1.0; });
    CHECK_THAT(crest_factor(triangle),
               within(std::sqrt(3.0), 1e-4, "computed 1.7321; the grid of 4800 a cycle"));
    CHECK(std::isnan(crest_factor(std::vector<float>(10, 0.0F))));
    CHECK(std::isnan(crest_factor({})));
}

TEST_CASE("spectral kurtosis: noise 0, tone -1, transients positive") {
    constexpr std::size_t rows = 60, lines = 400;
    std::mt19937_64 random(2006);
    std::exponential_distribution<float> line_power;
    std::vector<float> powers(rows * lines);
    for (float& p : powers) p = line_power(random);
    for (std::size_t r = 0; r < rows; ++r) {
        powers[r * lines] = 4.0F;                         // a tone alone
        powers[r * lines + 1] = r == 7 ? 100.0F : 0.01F;  // one knock
        powers[r * lines + 2] = 0.0F;                     // silence
    }
    const auto sk = spectral_kurtosis(powers, rows, lines);
    CHECK_THAT(sk[0], within(-1.0, 1e-12, "exact for constant power"));
    CHECK(sk[1] > 50.0);  // one row of 60 holds nearly all: close to K - 1
    CHECK(std::isnan(sk[2]));
    double sum = 0.0, squares = 0.0;
    for (std::size_t i = 3; i < lines; ++i) {
        sum += sk[i];
        squares += sk[i] * sk[i];
    }
    const double n = lines - 3, deviation = spectral_kurtosis_deviation(rows);
    CHECK_THAT(sum / n, within(0.0, 4.0 * deviation / std::sqrt(n), "unbiased; 4 standard errors"));
    CHECK_THAT(std::sqrt(squares / n),
               within(deviation, 0.25 * deviation, "a skewed statistic over 397 lines"));
    CHECK_THAT(spectral_kurtosis_deviation(1e6), within(2e-3, 1e-8, "2/sqrt(K) for many rows"));
    CHECK(std::isnan(spectral_kurtosis(powers, 1, lines)[5]));
    CHECK(std::isnan(spectral_kurtosis_deviation(1)));
}

TEST_CASE("lines of a squared envelope") {
    // computed: m / (1 + m^2/2)
    CHECK_THAT(envelope_line_of_depth(0.1), within(0.0995, 5.1e-5, "four decimals"));
    CHECK_THAT(envelope_line_of_depth(0.5), within(0.4444, 5.1e-5, "four decimals"));
    CHECK_THAT(envelope_line_of_depth(1.0), within(0.6667, 5.1e-5, "four decimals"));
    for (const double m : {0.1, 0.5, 1.0}) {
        CHECK_THAT(depth_of_envelope_line(envelope_line_of_depth(m)), within(m, 1e-12, "the inverse"));
        const auto squared =
            made(10000, [&](double t) { return std::pow(1.0 + m * std::cos(tau * 37 * t + 1.0), 2); });
        CHECK_THAT(envelope_line(squared, 37.0 / 10000),
                   within(envelope_line_of_depth(m), 1e-6, whole_cycles));
        CHECK_THAT(envelope_line(squared, 74.0 / 10000), within(m * m / 4.0 / (1.0 + m * m / 2.0), 1e-6,
                                                                "the second line, (m^2/2)/2; whole cycles"));
        CHECK_THAT(envelope_line(squared, 50.0 / 10000), within(0.0, 1e-6, whole_cycles));
    }
    CHECK(std::isnan(depth_of_envelope_line(0.75)));
    CHECK(std::isnan(depth_of_envelope_line(-0.1)));
    CHECK(std::isnan(envelope_line({}, 0.1)));
    CHECK_THAT(level_swing(0.5).value(), within(9.542, 5.1e-4, "20 lg 3"));
    CHECK(std::isinf(level_swing(1.0).value()));
}
