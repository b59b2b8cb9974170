// Expected information of a test, against worked examples.
#include <array>
#include <cmath>

#include "diagnose/next.hpp"
#include "within.hpp"

using namespace cranknote;
using test::within;

namespace {

double entropy(const std::vector<double>& p) {
    double h = 0.0;
    for (const auto x : p)
        if (x > 0) h -= x * std::log2(x);
    return h;
}

/// A test that says for sure whether the cause is in `subset`.
std::vector<std::vector<double>> perfect(std::size_t causes, const std::vector<std::size_t>& subset) {
    std::vector<std::vector<double>> given(causes, {0.0, 1.0});
    for (const auto i : subset) given[i] = {1.0, 0.0};
    return given;
}

constexpr double four_digits = 5e-5;

}  // namespace

TEST_CASE("eight equal causes hold 3 bits; an even split gives 1, one against seven 0.5436") {
    const std::vector<double> prior(8, 1.0 / 8);
    CHECK_THAT(3.0 - expected_bits(prior, perfect(8, {0, 1, 2, 3})), within(2.0, 1e-12, "computed: log2 4"));
    CHECK_THAT(3.0 - expected_bits(prior, perfect(8, {0})),
               within(2.4564, four_digits, "computed: 7/8 log2 7, printed to four digits"));
}

TEST_CASE("prior .4 .3 .2 .1: what a perfect test of each subset leaves") {
    const std::vector<double> prior{.4, .3, .2, .1};
    const auto left = [&](const std::vector<std::size_t>& subset) {
        return entropy(prior) - expected_bits(prior, perfect(4, subset));
    };
    const auto printed = "computed by hand, printed to four digits";
    CHECK_THAT(entropy(prior), within(1.8464, four_digits, printed));
    CHECK_THAT(left({0}), within(.8755, four_digits, printed));
    CHECK_THAT(left({1}), within(.9651, four_digits, printed));
    CHECK_THAT(left({3}), within(1.3774, four_digits, printed));
    CHECK_THAT(left({0, 3}), within(.8464, four_digits, printed));
}

TEST_CASE("an imperfect test of the first cause leaves 1.4683 bits") {
    const std::vector<double> prior{.4, .3, .2, .1};
    std::vector<std::vector<double>> given(4, {.2, .8});  // specificity 0.8
    given[0] = {.9, .1};                                  // sensitivity 0.9
    CHECK_THAT(entropy(prior) - expected_bits(prior, given),
               within(1.4683, four_digits, "computed by hand, printed to four digits"));
}

TEST_CASE("the polybox: probing X tells most (de Kleer & Williams 1987, from memory)") {
    // Three multipliers X = AC, Y = BD, Z = CE and two adders F = X + Y, G = Y + Z, with A 3, B 2, C 2, D 3,
    // E 3, and F seen as 10, G as 12. Every component fails with 0.01, and then gives any of 20 values.
    constexpr double fails = .01, any = 1.0 / 20;
    constexpr std::array<int, 3> right{6, 6, 6};
    std::vector<double> prior;
    std::vector<std::array<std::vector<double>, 3>> probe;  // by candidate: P(value 0..19) of X, Y, Z
    for (unsigned candidate = 0; candidate < 32; ++candidate) {
        const auto bad = [&](unsigned i) { return (candidate >> i & 1U) != 0; };  // M1 M2 M3 A1 A2
        double p = 1.0;
        for (unsigned i = 0; i < 5; ++i) p *= bad(i) ? fails : 1 - fails;
        std::array<std::vector<double>, 3> at{std::vector<double>(20, 0.0), std::vector<double>(20, 0.0),
                                              std::vector<double>(20, 0.0)};
        double seen = 0.0;
        for (int x = 0; x < 20; ++x)
            for (int y = 0; y < 20; ++y)
                for (int z = 0; z < 20; ++z) {
                    const std::array<int, 3> value{x, y, z};
                    double q = 1.0;
                    for (unsigned i = 0; i < 3; ++i) q *= bad(i) ? any : value[i] == right[i] ? 1.0 : 0.0;
                    q *= bad(3) ? any : x + y == 10 ? 1.0 : 0.0;
                    q *= bad(4) ? any : y + z == 12 ? 1.0 : 0.0;
                    seen += q;
                    for (std::size_t i = 0; i < 3; ++i) at[i][static_cast<std::size_t>(value[i])] += q;
                }
        if (seen <= 0.0) continue;
        for (auto& v : at)
            for (auto& q : v) q /= seen;
        prior.push_back(p);  // flat: every consistent candidate explains what was seen alike
        probe.push_back(at);
    }
    double sum = 0.0;
    for (const auto p : prior) sum += p;
    for (auto& p : prior) p /= sum;
    std::array<double, 3> left{};
    for (std::size_t i = 0; i < 3; ++i) {
        std::vector<std::vector<double>> given;
        for (const auto& at : probe) given.push_back(at[i]);
        left[i] = (entropy(prior) - expected_bits(prior, given)) * std::log(2.0);  // in nat
    }
    const auto printed = "computed for 20 equally likely values of a bad part, printed to four digits";
    REQUIRE(prior.size() == 27);
    CHECK_THAT(entropy(prior) * std::log(2.0), within(.9423, four_digits, printed));
    CHECK_THAT(left[0], within(.2252, four_digits, printed));
    CHECK_THAT(left[1], within(.8860, four_digits, printed));
    CHECK_THAT(left[2], within(.9097, four_digits, printed));
    CHECK(left[0] < left[1]);
    CHECK(left[0] < left[2]);
}

TEST_CASE("a test whose outcome does not depend on the cause tells nothing") {
    CHECK_THAT(expected_bits({.5, .3, .2}, {{.2, .8}, {.2, .8}, {.2, .8}}),
               within(0.0, 1e-12, "double rounding"));
    CHECK(expected_bits({}, {}) == 0.0);
}
