#include "signal/distribution.hpp"

#include <cmath>
#include <limits>
#include <numbers>
#include <string>

#include "within.hpp"

using namespace cranknote::signal;
using cranknote::test::within;

namespace {
constexpr double infinite = std::numeric_limits<double>::infinity();
const std::string printed2 = "printed with two decimals";
const std::string printed3 = "printed with three decimals";
const std::string rounding = "closed form, rounding only";

/// A quantile must bring its probability back, in both tails.
template <class D>
void brings_back(D d) {
    for (const double p : {1e-12, 1e-6, 0.001, 0.025, 0.3, 0.5, 0.7, 0.975, 0.999}) {
        CHECK_THAT(cdf(d, quantile(d, p)) / p, within(1.0, 1e-11, "solved to rounding"));
        CHECK_THAT(survival(d, quantile_above(d, p)) / p, within(1.0, 1e-11, "solved to rounding"));
    }
    CHECK_THAT(log_survival(d, quantile_above(d, 1e-200)),
               within(std::log(1e-200), 1e-9, "solved to rounding in the far tail"));
}
}  // namespace

TEST_CASE("normal distribution at printed values") {
    // Abramowitz & Stegun, tables 26.1 and 26.5 (memory)
    CHECK_THAT(quantile(Normal{}, 0.975), within(1.959963984540054, 1e-14, "printed to 15 decimals"));
    CHECK_THAT(quantile(Normal{}, 0.025), within(-1.959963984540054, 1e-14, "symmetric"));
    CHECK_THAT(cdf(Normal{}, 1.0), within(0.841344746068543, 1e-15, "printed to 15 decimals"));
    CHECK_THAT(two_sided(Normal{}, -1.959963984540054), within(0.05, 1e-15, rounding));
    // Mills's ratio bounds the tail: x/(1+x^2) < R < 1/x
    for (const double x : {31.0, 100.0, 1e4}) {
        const double log_density = -0.5 * x * x - 0.5 * std::log(2.0 * std::numbers::pi);
        const double mills = std::exp(log_survival(Normal{}, x) - log_density);
        CHECK_THAT(mills * x, within(1.0 - 1.0 / (x * x), 3.1 / std::pow(x, 4) + 1e-7,
                                     "its next term, and rounding of x^2"));
    }
    CHECK_THAT(log_survival(Normal{}, 30.0) - log_survival(Normal{}, std::nextafter(30.0, 0.0)),
               within(0.0, 1e-12, "the two formulas meet at 30"));
    brings_back(Normal{});
}

TEST_CASE("chi-square, F and Student's t where they have closed forms") {
    CHECK_THAT(survival(ChiSquare{2}, 7.0), within(std::exp(-3.5), 1e-16, rounding));
    CHECK_THAT(quantile_above(ChiSquare{2}, 0.05), within(-2.0 * std::log(0.05), 1e-13, rounding));
    CHECK_THAT(survival(FisherF{2, 10}, 3.0),
               within(std::pow(1.0 + 0.6, -5.0), 1e-15, "(1 + 2x/nu)^(-nu/2)"));
    CHECK_THAT(survival(StudentT{1}, 1.0), within(0.25, 1e-15, "Cauchy: 1/2 - atan(x)/pi"));
    CHECK_THAT(quantile(StudentT{1}, 0.999),
               within(std::tan(0.499 * std::numbers::pi), 1e-9, "Cauchy, tan is steep"));
    CHECK_THAT(cdf(StudentT{2}, -1.0),
               within(0.5 - 0.5 / std::sqrt(3.0), 1e-15, "1/2 + x/(2 sqrt(2 + x^2))"));
    brings_back(ChiSquare{0.3});
    brings_back(ChiSquare{36.1});
    brings_back(ChiSquare{1e6});
    brings_back(FisherF{36, 20});
    brings_back(FisherF{3, 1e5});
    brings_back(Exponential{2.0});
    brings_back(Rayleigh{0.7});
    for (const double dof : {1.0, 4.6, 300.0}) {
        const StudentT t{dof};
        CHECK_THAT(cdf(t, quantile(t, 0.2)), within(0.2, 1e-13, "solved to rounding"));
        CHECK_THAT(survival(t, quantile_above(t, 1e-9)) * 1e9, within(1.0, 1e-11, "solved to rounding"));
        CHECK_THAT(survival(t, -2.0), within(1.0 - survival(t, 2.0), 1e-15, "symmetric"));
        CHECK_THAT(quantile(t, 0.5), within(0.0, 1e-12, "symmetric"));
    }
}

TEST_CASE("tails at a million degrees of freedom") {
    // computed as sums with 60 digits: of 500 binomial terms for F, of the gamma series for chi-square
    const std::string reason = "relative 1e-11: a million times the rounding, hardly canceled";
    CHECK_THAT(cdf(FisherF{1e6, 1e3}, 0.9) / 0.00794341272570354691, within(1.0, 1e-11, reason));
    CHECK_THAT(survival(FisherF{1e6, 1e3}, 1.3) / 1.0510456897800718e-8, within(1.0, 1e-11, reason));
    CHECK_THAT(cdf(ChiSquare{1e6}, 993000) / 3.50886065543942752e-7, within(1.0, 1e-11, reason));
}

TEST_CASE("infinite degrees of freedom are the limits") {
    CHECK_THAT(survival(StudentT{infinite}, 2.0), within(survival(Normal{}, 2.0), 1e-16, "the same"));
    CHECK_THAT(quantile(StudentT{infinite}, 0.9), within(quantile(Normal{}, 0.9), 1e-15, "the same"));
    CHECK_THAT(survival(FisherF{4, infinite}, 1.5), within(survival(ChiSquare{4}, 6.0), 1e-16, "the same"));
    CHECK_THAT(quantile(FisherF{infinite, 5}, 0.9),
               within(5.0 / quantile(ChiSquare{5}, 0.1), 1e-12, "the reciprocal"));
    CHECK(quantile(FisherF{infinite, infinite}, 0.9) == 1.0);
    CHECK_THAT(survival(StudentT{1e9}, 3.0) / survival(Normal{}, 3.0),
               within(1.0, 1e-7, "differs by x^4/(4 nu)"));
}

TEST_CASE("distributions answer NaN to nonsense and limits to limits") {
    CHECK(std::isnan(survival(ChiSquare{0}, 1.0)));
    CHECK(std::isnan(survival(FisherF{3, -1}, 1.0)));
    CHECK(std::isnan(cdf(StudentT{std::nan("")}, 1.0)));
    CHECK(std::isnan(survival(ChiSquare{3}, std::nan(""))));
    CHECK(std::isnan(quantile(Normal{}, 1.5)));
    CHECK(std::isnan(quantile(ChiSquare{3}, -0.1)));
    CHECK(std::isnan(quantile(FisherF{0, 3}, 0.5)));
    CHECK(std::isnan(quantile(StudentT{3}, std::nan(""))));
    CHECK(std::isnan(survival(Exponential{-1}, 1.0)));
    CHECK(survival(ChiSquare{3}, -5.0) == 1.0);
    CHECK(survival(FisherF{3, 4}, infinite) == 0.0);
    CHECK(quantile(ChiSquare{3}, 0.0) == 0.0);
    CHECK(quantile(ChiSquare{3}, 1.0) == infinite);
    CHECK(quantile(Normal{}, 0.0) == -infinite);
    CHECK(quantile_above(FisherF{1, 0.01}, 1e-12) == infinite);  // beyond 1e300
    CHECK(quantile(ChiSquare{0.01}, 1e-12) == 0.0);              // below 1e-300
}

TEST_CASE("level of an averaged spectrum: bias and spread") {
    // computed from digamma and trigamma: the mean and variance of ln chi-square
    struct Row {
        double dof, deviation, bias;
    };
    for (const Row& r : {Row{2, 5.570, -2.507}, Row{8, 2.314, -0.565}, Row{20, 1.408, -0.221},
                         Row{36, 1.038, -0.122}, Row{100, 0.617, -0.044}}) {
        INFO(r.dof);
        CHECK_THAT(level_deviation(r.dof).value(), within(r.deviation, 5.1e-4, printed3));
        CHECK_THAT(level_bias(r.dof).value(), within(r.bias, 5.1e-4, printed3));
    }
    CHECK_THAT(level_bias(2).value(),
               within(-10.0 * 0.57721566490153286 / std::numbers::ln10, 1e-13, "-10/ln 10 Euler's constant"));
}

TEST_CASE("level of an averaged spectrum: intervals") {
    // computed from chi-square quantiles
    CHECK_THAT(level_interval(36, 0.95).low.value(), within(-1.80, 0.0051, printed2));
    CHECK_THAT(level_interval(36, 0.95).high.value(), within(2.27, 0.0051, printed2));
    CHECK_THAT(level_interval(20, 0.95).low.value(), within(-2.33, 0.0051, printed2));
    CHECK_THAT(level_interval(20, 0.95).high.value(), within(3.19, 0.0051, printed2));
}

TEST_CASE("difference of two averaged spectra: F intervals") {
    // computed from F quantiles
    struct Row {
        double dof, confidence, half_width;
    };
    for (const Row& r : {Row{8, 0.95, 6.47}, Row{20, 0.95, 3.92}, Row{36, 0.95, 2.88}, Row{72, 0.95, 2.02},
                         Row{100, 0.95, 1.71}, Row{200, 0.95, 1.21}, Row{400, 0.95, 0.85},
                         Row{36, 0.999, 4.92}, Row{72, 0.999, 3.42}, Row{200, 0.999, 2.03}}) {
        INFO(r.dof << " at " << r.confidence);
        const LevelInterval i = difference_interval(r.dof, r.dof, r.confidence);
        CHECK_THAT(i.high.value(), within(r.half_width, 0.0051, printed2));
        CHECK_THAT(i.low.value(), within(-r.half_width, 0.0051, "equal degrees of freedom: symmetric"));
    }
    const LevelInterval uneven = difference_interval(20, 100, 0.95);
    CHECK(uneven.high > -uneven.low);  // the poorer one may have read low by more than it can have read high
}

TEST_CASE("one of many noise lines stands out by chance") {
    CHECK_THAT(chance_of_any(0.01, 100), within(1.0 - std::pow(0.99, 100), 1e-14, rounding));
    CHECK_THAT(chance_of_any(1e-30, 1000), within(1e-27, 1e-40, "tiny chances add"));
    CHECK(chance_of_any(0.0, 1000) == 0.0);
    CHECK(chance_of_any(1.0, 3) == 1.0);
}
