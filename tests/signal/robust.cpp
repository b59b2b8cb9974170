#include "signal/robust.hpp"

#include <algorithm>
#include <cmath>
#include <random>

#include "within.hpp"

using namespace cranknote::signal;
using cranknote::test::within;

namespace {

const double none = std::nan("");

/// What running_median must give, the slow and obvious way.
std::vector<float> plain_running_median(const std::vector<float>& x, std::size_t width) {
    const auto n = static_cast<int>(x.size()), half = static_cast<int>(width / 2);
    std::vector<float> out;
    for (int i = 0; i < n; ++i) {
        std::vector<float> w;
        for (int k = i - half; k <= i + half; ++k) {
            int at = ((k % (2 * n)) + 2 * n) % (2 * n);
            w.push_back(x[static_cast<std::size_t>(at < n ? at : 2 * n - 1 - at)]);
        }
        std::sort(w.begin(), w.end());
        out.push_back(w[w.size() / 2]);
    }
    return out;
}

}  // namespace

TEST_CASE("medians and quantiles") {
    CHECK(median(std::vector<double>{3, 1, 2}) == 2.0);
    CHECK(median(std::vector<double>{4, 1, 2, 3}) == 2.5);
    CHECK(median(std::vector<float>{4, 1, 2, 3}) == 2.5F);
    CHECK(median(std::vector<double>{none, 7, none}) == 7.0);
    CHECK(std::isnan(median(std::vector<double>{})));
    CHECK(std::isnan(median(std::vector<double>{none})));
    CHECK(sample_quantile(std::vector<double>{4, 1, 3, 2, 5}, 0.25) == 2.0);
    CHECK_THAT(sample_quantile(std::vector<double>{1, 2, 3, 4}, 0.9), within(3.7, 1e-15, "1 + 0.9 * 3"));
    CHECK(sample_quantile(std::vector<double>{1, 2}, 1.0) == 2.0);
    CHECK(std::isnan(sample_quantile({}, 0.5)));
    CHECK_THAT(median_deviation(std::vector<double>{1, 1, 2, 2, 4, 6, 9}),
               within(1.4826, 1e-4, "deviations 0 0 1 1 2 4 7 have median 1"));
    CHECK(median_deviation(std::vector<double>{5, 5, 5, 1000}) == 0.0);
}

TEST_CASE("the median deviation is a standard deviation for Gaussian values, whatever a tenth of them do") {
    std::mt19937_64 random(7);
    std::normal_distribution<double> gauss(10.0, 2.0);
    std::vector<double> x(20000);
    for (double& v : x) v = gauss(random);
    CHECK_THAT(median_deviation(x), within(2.0, 0.07, "5 standard errors of 1.17 sigma / sqrt(n), plus"));
    CHECK_THAT(huber_location(x), within(10.0, 0.08, "5 standard errors of 2 / sqrt(n)"));
    for (std::size_t i = 0; i < x.size(); i += 10) x[i] = 1e9;
    CHECK_THAT(median_deviation(x),
               within(2.0, 0.45, "a tenth wild one-sidedly moves the median by 0.14 sigma"));
    CHECK_THAT(huber_location(x),
               within(10.0, 0.6, "each wild value counts as at most 1.345 deviations: 0.15 + 0.1 of 2"));
}

TEST_CASE("Huber's location keeps what is symmetric and falls back to the median") {
    CHECK_THAT(huber_location(std::vector<double>{-1, 0, 1, none}), within(0.0, 1e-12, "symmetric"));
    CHECK(huber_location(std::vector<double>{3, 3, 3, 99}) == 3.0);
    CHECK(std::isnan(huber_location({})));
    const std::vector<double> tame = {1, 2, 3, 4, 5.5};
    CHECK_THAT(huber_location(tame, 100.0), within(3.1, 1e-12, "nothing held back: the mean"));
}

TEST_CASE("weighted median") {
    const std::vector<double> x = {10, 20, 30};
    CHECK(weighted_median(x, std::vector<double>{1, 1, 1}) == 20.0);
    CHECK(weighted_median(x, std::vector<double>{5, 1, 1}) == 10.0);
    CHECK(weighted_median(x, std::vector<double>{1, 1, 2}) == 25.0);
    CHECK(weighted_median(x, std::vector<double>{0, 0, 2}) == 30.0);
    CHECK(weighted_median(std::vector<double>{none, 4}, std::vector<double>{9, 1}) == 4.0);
    CHECK(std::isnan(weighted_median(x, std::vector<double>{0, 0, none})));
}

TEST_CASE("Theil-Sen line") {
    // Sen 1968 used y = 9 15 19 20 45 55 78 at x = 1 2 3 4 10 12 18 and found slope 4 (memory: his example)
    const std::vector<double> x = {1, 2, 3, 4, 10, 12, 18}, y = {9, 15, 19, 20, 45, 55, 78};
    CHECK_THAT(theil_sen(x, y).slope, within(4.0, 1e-12, "the paper's median slope"));
    const Line wild =
        theil_sen(std::vector<double>{0, 1, 2, 3, 4, 5}, std::vector<double>{1, 3, 5, 700, 9, 11});
    CHECK_THAT(wild.slope, within(2.0, 1e-12, "five of six lie on 1 + 2 x"));
    CHECK_THAT(wild.at(10), within(21.0, 1e-12, "five of six lie on 1 + 2 x"));
    const Line level = theil_sen(std::vector<double>{2, 2, 2}, std::vector<double>{1, 5, 9});
    CHECK(level.slope == 0.0);
    CHECK(level.intercept == 5.0);
}

TEST_CASE("running median against the plain way") {
    std::mt19937_64 random(11);
    std::uniform_int_distribution<int> coarse(0, 20);  // many ties
    for (const std::size_t n : {1U, 2U, 7U, 200U}) {
        for (const std::size_t width : {1U, 2U, 3U, 8U, 31U, 501U}) {
            std::vector<float> x(n);
            for (float& v : x) v = static_cast<float>(coarse(random));
            CHECK(running_median(x, width) == plain_running_median(x, width));
        }
    }
    CHECK(running_median(std::vector<float>{}, 5).empty());
    const std::vector<double> with_nan = {1, none, 3};
    CHECK(running_median(with_nan, 3) == std::vector<double>{1, 1, 3});
}

TEST_CASE("running median of rising, falling and long input") {
    std::vector<double> x(3000);
    for (std::size_t i = 0; i < x.size(); ++i) x[i] = static_cast<double>(i < 1500 ? i : 3000 - i);
    const auto y = running_median(x, 101);
    CHECK(y[700] == 700.0);
    CHECK(y[2300] == 700.0);
    CHECK(y[1500] == 1475.0);  // 50 values on each side of the peak; the middle of 101 is the 25th step down
}
