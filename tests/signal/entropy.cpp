#include "signal/entropy.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <numeric>

#include "within.hpp"

using namespace cranknote::signal;
using cranknote::test::within;

namespace {
const std::string printed4 = "computed to four decimals";
const std::vector<double> prior = {0.4, 0.3, 0.2, 0.1};
}  // namespace

TEST_CASE("eight equal causes") {
    // computed
    const std::vector<double> equal(8, 0.125);
    CHECK_THAT(entropy_bits(equal), within(3.0, 1e-15, "log2 8"));
    const std::vector<bool> half = {true, true, true, true, false, false, false, false};
    const std::vector<bool> one = {true, false, false, false, false, false, false, false};
    CHECK_THAT(expected_entropy_bits(equal, half, 1, 1), within(2.0, 1e-15, "log2 4"));
    CHECK_THAT(expected_entropy_bits(equal, one, 1, 1), within(2.4564, 5.1e-5, printed4));
}

TEST_CASE("four uneven causes, perfect tests of a subset") {
    // computed
    CHECK_THAT(entropy_bits(prior), within(1.8464, 5.1e-5, printed4));
    CHECK_THAT(expected_entropy_bits(prior, {true, false, false, false}, 1, 1),
               within(0.8755, 5.1e-5, printed4));
    CHECK_THAT(expected_entropy_bits(prior, {false, true, false, false}, 1, 1),
               within(0.9651, 5.1e-5, printed4));
    CHECK_THAT(expected_entropy_bits(prior, {false, false, false, true}, 1, 1),
               within(1.3774, 5.1e-5, printed4));
    CHECK_THAT(expected_entropy_bits(prior, {true, false, false, true}, 1, 1),
               within(0.8464, 5.1e-5, printed4));
}

TEST_CASE("four uneven causes, an imperfect test of the first") {
    // computed: sensitivity 0.9, specificity 0.8
    CHECK_THAT(expected_entropy_bits(prior, {true, false, false, false}, 0.9, 0.8),
               within(1.4683, 5.1e-5, printed4));
    const auto after = posterior(prior, std::vector<double>{0.9, 0.2, 0.2, 0.2});
    const std::array expected = {0.75, 0.125, 0.0833, 0.0417};
    for (std::size_t i = 0; i < 4; ++i) CHECK_THAT(after[i], within(expected[i], 5.1e-5, printed4));
    CHECK_THAT(expected_entropy_bits(prior, {true, false, false, false}, 0.5, 0.5),
               within(entropy_bits(prior), 1e-14, "a coin toss tells nothing"));
}

namespace {

/// The polybox of de Kleer & Williams 1987: inputs A 3, B 2, C 2, D 3, E 3; M1 = A C, M2 = B D, M3 = C E give
/// X, Y, Z (each 6 when sound); A1 adds X and Y to F, A2 adds Y and Z to G. F is seen as 10 where 12 is
/// right, G as 12. A candidate is a set of broken units (bits M1 M2 M3 A1 A2); a broken unit gives anything
/// from 0 to 19.
constexpr int values = 20;

bool possible(unsigned broken, int x, int y, int z) {
    return (broken & 1U || x == 6) && (broken & 2U || y == 6) && (broken & 4U || z == 6) &&
           (broken & 8U || x + y == 10) && (broken & 16U || y + z == 12);
}

struct Polybox {
    std::vector<double> candidate;           // probability of each set, given F and G
    std::vector<std::vector<double>> at[3];  // at[probe][value][set]: chance of that value at X, Y, Z
};

/// What was seen counts alike for every set that allows it (a flat observation likelihood), and so does every
/// way in which a set allows it.
Polybox polybox() {
    Polybox box{std::vector<double>(32, 0.0), {}};
    for (auto& probe : box.at) probe.assign(values, std::vector<double>(32, 0.0));
    for (unsigned set = 0; set < 32; ++set) {
        double ways = 0.0;
        for (int x = 0; x < values; ++x) {
            for (int y = 0; y < values; ++y) {
                for (int z = 0; z < values; ++z) {
                    if (!possible(set, x, y, z)) continue;
                    ways += 1.0;
                    const std::array seen = {x, y, z};
                    for (std::size_t i = 0; i < 3; ++i)
                        box.at[i][static_cast<std::size_t>(seen[i])][set] += 1.0;
                }
            }
        }
        if (ways == 0.0) continue;
        for (auto& probe : box.at) {
            for (auto& value : probe) value[set] /= ways;
        }
        box.candidate[set] = 1.0;
        for (unsigned unit = 1; unit < 32; unit *= 2) box.candidate[set] *= set & unit ? 0.01 : 0.99;
    }
    box.candidate = posterior(box.candidate, std::vector<double>(32, 1.0));
    return box;
}

}  // namespace

TEST_CASE("the polybox: what is broken, and where to measure next") {
    // Minimal candidates {A1}, {M1}, {A2, M2}, {M2, M3} and the best probe X: memory: de Kleer & Williams
    // 1987. The numbers are computed for a prior of 0.01 each (an independent count in another language), not
    // the paper's table.
    const Polybox box = polybox();
    CHECK(std::count_if(box.candidate.begin(), box.candidate.end(), [](double p) { return p > 0.0; }) == 27);
    for (const unsigned minimal : {8U, 1U, 16U | 2U, 2U | 4U}) {
        CHECK(box.candidate[minimal] > 0.0);
        for (unsigned unit = 1; unit < 32; unit *= 2) {
            if (minimal & unit) CHECK(box.candidate[minimal & ~unit] == 0.0);
        }
    }
    CHECK_THAT(box.candidate[8], within(0.478, 5.1e-4, "A1 alone, three decimals"));
    CHECK_THAT(box.candidate[1], within(0.478, 5.1e-4, "M1 alone, three decimals"));

    constexpr double nat = std::numbers::ln2;  // the numbers are in nats
    CHECK_THAT(nat * entropy_bits(box.candidate), within(0.9423, 5.1e-5, printed4));
    CHECK_THAT(nat * expected_entropy_bits(box.candidate, box.at[0]), within(0.2252, 5.1e-5, printed4));
    CHECK_THAT(nat * expected_entropy_bits(box.candidate, box.at[1]), within(0.8860, 5.1e-5, printed4));
    CHECK_THAT(nat * expected_entropy_bits(box.candidate, box.at[2]), within(0.9097, 5.1e-5, printed4));
    const auto chance = [&](std::size_t value) {
        return std::inner_product(box.candidate.begin(), box.candidate.end(), box.at[0][value].begin(), 0.0);
    };
    CHECK_THAT(chance(4), within(0.493, 5.1e-4, "three decimals"));
    CHECK_THAT(chance(6), within(0.503, 5.1e-4, "three decimals"));
}

TEST_CASE("entropy of nothing, of certainty and of nonsense") {
    CHECK(entropy_bits({}) == 0.0);
    CHECK(entropy_bits(std::vector<double>{0.0, 5.0}) == 0.0);
    CHECK(std::isnan(entropy_bits(std::vector<double>{0.5, -0.1})));
    CHECK(std::isnan(entropy_bits(std::vector<double>{0.5, std::nan("")})));
    CHECK(posterior(prior, std::vector<double>(4, 0.0)) == std::vector<double>(4, 0.0));
}
