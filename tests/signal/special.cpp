#include "signal/special.hpp"

#include <cmath>
#include <numbers>
#include <string>

#include "within.hpp"

using namespace cranknote::signal;
using cranknote::test::within;

namespace {
constexpr double euler = 0.577215664901532860606512090082;  // Abramowitz & Stegun 6.1.3
constexpr double pi = std::numbers::pi;
const std::string rounding = "closed form, rounding only";
}  // namespace

TEST_CASE("log gamma at values with a closed form") {
    CHECK_THAT(log_gamma(1.0), within(0.0, 1e-14, rounding));
    CHECK_THAT(log_gamma(0.5), within(0.5 * std::log(pi), 1e-14, rounding));
    CHECK_THAT(log_gamma(11.0), within(std::log(3628800.0), 1e-13, rounding));
    CHECK_THAT(log_gamma(9.5) - log_gamma(8.5), within(std::log(8.5), 1e-13, "the recurrence"));
    CHECK(std::isnan(log_gamma(0.0)));
    CHECK(std::isnan(log_gamma(-1.5)));
}

TEST_CASE("polygamma functions at values with a closed form") {
    CHECK_THAT(digamma(1.0), within(-euler, 1e-14, rounding));
    CHECK_THAT(digamma(0.5), within(-euler - 2.0 * std::numbers::ln2, 1e-14, rounding));
    CHECK_THAT(trigamma(1.0), within(pi * pi / 6.0, 1e-14, rounding));
    CHECK_THAT(trigamma(0.5), within(pi * pi / 2.0, 1e-14, rounding));
    CHECK_THAT(tetragamma(1.0), within(-2.4041138063191886, 1e-13, "-2 zeta(3), Abramowitz & Stegun 23.2"));
    CHECK(std::isnan(digamma(0.0)));
    CHECK(std::isnan(trigamma(-1.0)));
    CHECK(std::isnan(tetragamma(0.0)));
    for (const double x : {0.3, 3.0, 12.5, 700.0}) {
        const double h = 1e-4 * x;
        CHECK_THAT((digamma(x + h) - digamma(x - h)) / (2 * h),
                   within(trigamma(x), 1e-7 * trigamma(x), "central difference, error h^2/6 psi'''"));
        CHECK_THAT((trigamma(x + h) - trigamma(x - h)) / (2 * h),
                   within(tetragamma(x), -1e-7 * tetragamma(x), "central difference, error h^2/6"));
    }
}

TEST_CASE("the inverse of trigamma undoes it") {
    for (const double y : {1e-8, 1e-3, 0.2, 1.0, 7.5, 300.0, 1e7, 1e15}) {
        CHECK_THAT(trigamma_inverse(trigamma(y)) / y, within(1.0, 1e-12, "Newton to rounding"));
    }
    CHECK(std::isnan(trigamma_inverse(0.0)));
    CHECK(std::isnan(trigamma_inverse(-1.0)));
}

TEST_CASE("incomplete gamma and beta functions at values with a closed form") {
    const Tails g = incomplete_gamma(1.0, 700.0);  // e^-x above
    CHECK_THAT(g.log_above, within(-700.0, 1e-12, rounding));
    CHECK(g.below == 1.0);
    const Tails far = incomplete_gamma(1.0, 1e5);  // underflows as a probability
    CHECK(far.above == 0.0);
    CHECK_THAT(far.log_above, within(-1e5, 1e-9, rounding));
    CHECK_THAT(incomplete_gamma(3.0, 2.0).above, within(5.0 * std::exp(-2.0), 1e-14, "(1 + x + x^2/2) e^-x"));
    CHECK_THAT(incomplete_gamma(0.5, 1.0).below, within(std::erf(1.0), 1e-14, "P(1/2, x^2) = erf x"));

    const Tails b = incomplete_beta(1.0, 5.0, 1e-10, 1.0 - 1e-10);
    CHECK_THAT(b.below, within(-std::expm1(5.0 * std::log1p(-1e-10)), 1e-23,
                               "1 - (1-x)^b; a rounding of its logarithm, -21, is 4e-15 of it"));
    CHECK_THAT(incomplete_beta(0.5, 0.5, 0.5, 0.5).below, within(0.5, 2e-15, "symmetric; a few roundings"));
    CHECK_THAT(incomplete_beta(2.0, 3.0, 0.25, 0.75).below,
               within(0.26171875, 1e-15, "6 x^2 - 8 x^3 + 3 x^4, exact in binary"));
    CHECK(incomplete_beta(2.0, 3.0, 0.0, 1.0).below == 0.0);
    CHECK(incomplete_beta(2.0, 3.0, 1.0, 0.0).above == 0.0);
    CHECK(std::isnan(incomplete_beta(-1.0, 3.0, 0.5, 0.5).below));
    CHECK(std::isnan(incomplete_gamma(1.0, -1.0).below));
}
