#include "signal/discovery.hpp"

#include <algorithm>
#include <cmath>
#include <random>

#include "within.hpp"

using namespace cranknote::signal;
using cranknote::test::within;

namespace {

// Benjamini & Hochberg 1995, section 3.2: fifteen hypotheses of a trial of heart attack treatments.
const std::vector<double> example = {0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344,
                                     0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.0000};

std::ptrdiff_t at_most(const std::vector<double>& adjusted, double q) {
    return std::count_if(adjusted.begin(), adjusted.end(), [&](double a) { return a <= q; });
}

}  // namespace

TEST_CASE("the example of Benjamini and Hochberg 1995") {
    CHECK(at_most(benjamini_hochberg(example), 0.05) == 4);  // the paper: four are rejected
    CHECK(at_most(holm(example), 0.05) == 3);  // the paper: Bonferroni rejects three; Holm too, computed
    CHECK(at_most(benjamini_yekutieli(example), 0.05) == 3);  // computed
    CHECK(at_most(example, 0.05) == 9);                       // the paper: nine below 0.05 each by itself
    // computed from the definition
    const std::vector<double> adjusted = {0.00150, 0.00300, 0.00950, 0.03562, 0.06030,
                                          0.06386, 0.06386, 0.06450, 0.07650, 0.48600,
                                          0.58118, 0.71488, 0.75323, 0.81321, 1.0};
    const auto got = benjamini_hochberg(example);
    for (std::size_t i = 0; i < adjusted.size(); ++i) {
        CHECK_THAT(got[i], within(adjusted[i], 5.1e-6, "five decimals"));
    }
    CHECK_THAT(benjamini_yekutieli(example)[0] / got[0], within(3.31823, 5.1e-6, "1 + 1/2 + ... + 1/15"));
}

TEST_CASE("the two-stage procedure on the same example") {
    // Benjamini, Krieger & Yekutieli 2006: level 0.05/1.05, then 15/11 of it
    CHECK(two_stage_discoveries(example, 0.05) == 8);
    CHECK(two_stage_discoveries({}, 0.05) == 0);
    CHECK(two_stage_discoveries(std::vector<double>{0.9, 0.8}, 0.05) == 0);
    CHECK(two_stage_discoveries(std::vector<double>{0.001, 0.002}, 0.05) == 2);
}

TEST_CASE("order, absence and weights") {
    const double none = std::nan("");
    const auto shuffled = benjamini_hochberg(std::vector<double>{0.04, none, 0.01, 0.02});
    CHECK_THAT(shuffled[0], within(0.04, 1e-15, "three tested, the largest keeps its p"));
    CHECK(std::isnan(shuffled[1]));
    CHECK_THAT(shuffled[2], within(0.03, 1e-15, "3 p / 1"));
    CHECK_THAT(shuffled[3], within(0.03, 1e-15, "3 p / 2"));
    CHECK(benjamini_hochberg({}).empty());

    const std::vector<double> p = {0.01, 0.02, 0.9, none};
    const auto even = weighted_benjamini_hochberg(p, std::vector<double>{5, 5, 5, 1});
    CHECK_THAT(even[0], within(benjamini_hochberg(p)[0], 1e-15, "equal weights change nothing"));
    const auto favoured = weighted_benjamini_hochberg(p, std::vector<double>{1, 4, 1, 1});
    CHECK_THAT(favoured[1], within(0.03, 1e-15, "0.02 * 6 / (3 * 4) = 0.01 ranks first: times 3"));
    CHECK(std::isnan(favoured[3]));
    CHECK(weighted_benjamini_hochberg(p, std::vector<double>{0, 1, 1, 1})[0] == 1.0);
}

TEST_CASE("with nothing to find, any discovery is as rare as the level says") {
    std::mt19937_64 random(1995);
    std::uniform_real_distribution<double> uniform(0.0, 1.0);
    std::size_t plain = 0, weighted = 0;
    std::vector<double> weights(40, 1.0);
    for (std::size_t i = 0; i < 10; ++i) weights[i] = 5.0;
    for (int trial = 0; trial < 2000; ++trial) {
        std::vector<double> p(40);
        for (double& v : p) v = uniform(random);
        plain += at_most(benjamini_hochberg(p), 0.05) > 0 ? 1 : 0;
        weighted += at_most(weighted_benjamini_hochberg(p, weights), 0.05) > 0 ? 1 : 0;
    }
    // binomial(2000, 0.05): 99 % upper bound 122 (computed); its lower counterpart is 77
    CHECK(plain <= 122);
    CHECK(plain >= 77);
    CHECK(weighted <= 122);
    CHECK(weighted >= 77);
}

TEST_CASE("Wilson's interval of a rate") {
    // Newcombe 1998, Statist. Med. 17, table I: 81 of 263, 15 of 148, 0 of 20, 1 of 29 (memory)
    struct Row {
        std::size_t hits, tries;
        double low, high;
    };
    for (const Row& r : {Row{81, 263, 0.2553, 0.3662}, Row{15, 148, 0.0624, 0.1605}, Row{0, 20, 0.0, 0.1611},
                         Row{1, 29, 0.0061, 0.1718}}) {
        const auto i = wilson_interval(r.hits, r.tries);
        CHECK_THAT(i.low, within(r.low, 5.1e-5, "printed with four decimals"));
        CHECK_THAT(i.high, within(r.high, 5.1e-5, "printed with four decimals"));
    }
    CHECK(wilson_interval(0, 0).low == 0.0);
    CHECK(wilson_interval(0, 0).high == 1.0);
    CHECK(wilson_interval(7, 7).high == 1.0);
    CHECK(wilson_interval(50, 100, 0.99).low < wilson_interval(50, 100, 0.95).low);
}
