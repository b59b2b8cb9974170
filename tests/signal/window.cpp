#include "signal/window.hpp"

#include <complex>
#include <numbers>
#include <string>

#include "within.hpp"

using namespace cranknote::signal;
using cranknote::decibel_of_amplitude;
using cranknote::test::within;

namespace {

struct Row {
    std::string name;
    WindowShape shape;
    double alpha;
    double gain, bandwidth, scallop, worst, at75, at50;  // computed from the definitions, periodic, n = 4096
    double side_lobe;                                    // Harris 1978, table I, whole dB
};

// Harris 1978, table I (memory) to its two decimals; the further decimals are computed from the definitions.
// Hamming's scallop loss is printed as 1.78 dB there; the definition gives 1.7514, which is asserted.
const std::vector<Row> table = {
    {"rectangle", WindowShape::rectangle, 0, 1.00, 1.0000, 3.9224, 3.92, 0.7500, 0.5000, -13},
    {"triangle", WindowShape::triangle, 0, 0.50, 1.3333, 1.8242, 3.07, 0.7187, 0.2500, -27},
    {"Hann", WindowShape::hann, 0, 0.50, 1.5000, 1.4236, 3.18, 0.6592, 0.1667, -32},
    {"Hamming", WindowShape::hamming, 0, 0.54, 1.3628, 1.7514, 3.10, 0.7069, 0.2338, -43},
    {"Blackman", WindowShape::blackman, 0, 0.42, 1.7268, 1.0989, 3.47, 0.5667, 0.0896, -58},
    {"Blackman-Harris", WindowShape::blackman_harris, 0, 0.36, 2.0044, 0.8256, 3.85, 0.4600, 0.0376, -92},
    {"Kaiser 2", WindowShape::kaiser, 2.0, 0.49, 1.4963, 1.4527, 3.20, 0.6566, 0.1690, -46},
    {"Kaiser 3", WindowShape::kaiser, 3.0, 0.40, 1.7952, 1.0226, 3.56, 0.5392, 0.0735, -69},
    {"flat top", WindowShape::flat_top, 0, 0.2156, 3.7702, 0.0098, 5.77, 0.0455, -0.0153, 0},
};

double response_db(std::span<const double> w, double line) {
    std::complex<double> sum{0, 0};
    const double step = 2.0 * std::numbers::pi * line / static_cast<double>(w.size());
    for (std::size_t i = 0; i < w.size(); ++i) {
        sum += std::polar(1.0, -step * static_cast<double>(i)) * w[i];
    }
    return decibel_of_amplitude(std::abs(sum) / static_cast<double>(w.size()) / coherent_gain(w)).value();
}

double highest_side_lobe_db(std::span<const double> w) {
    double line = 0.5, last = response_db(w, 0.5);  // walk down the main lobe to its first valley
    for (double next = response_db(w, line + 0.02); next < last; next = response_db(w, line + 0.02)) {
        last = next;
        line += 0.02;
    }
    double highest = -300.0;
    for (; line < 40.0; line += 0.02) highest = std::max(highest, response_db(w, line));
    return highest;
}

}  // namespace

TEST_CASE("windows have Harris's figures") {
    for (const Row& row : table) {
        INFO(row.name);
        const auto w = window_values(row.shape, 4096, row.alpha);
        CHECK_THAT(coherent_gain(w), within(row.gain, 0.0051, "printed with two decimals"));
        CHECK_THAT(noise_bandwidth_lines(w), within(row.bandwidth, 5.1e-5, "computed to four decimals"));
        CHECK_THAT(scallop_loss(w).value(), within(row.scallop, 5.1e-5, "computed to four decimals"));
        CHECK_THAT(worst_case_loss(w).value(), within(row.worst, 0.0051, "computed to two decimals"));
        CHECK_THAT(overlap_correlation(w, 1024), within(row.at75, 5.1e-5, "computed to four decimals"));
        CHECK_THAT(overlap_correlation(w, 2048), within(row.at50, 5.1e-5, "computed to four decimals"));
    }
}

TEST_CASE("windows have Harris's side lobes") {
    for (const Row& row : table) {
        if (row.shape == WindowShape::flat_top) continue;  // not in the table
        INFO(row.name);
        const auto w = window_values(row.shape, 1024, row.alpha);
        CHECK_THAT(highest_side_lobe_db(w),
                   within(row.side_lobe, 1.0, "printed in whole dB, some cut and some rounded"));
    }
}

TEST_CASE("periodic windows add up evenly when shifted") {
    // Cosine-sum windows of up to five terms shifted by a fifth or less of their length sum to a constant.
    for (const auto shape : {WindowShape::hann, WindowShape::hamming, WindowShape::blackman,
                             WindowShape::blackman_harris, WindowShape::flat_top}) {
        const auto w = window_values(shape, 640);
        for (std::size_t start = 0; start < 80; ++start) {
            double sum = 0.0;
            for (std::size_t i = start; i < w.size(); i += 80) sum += w[i];
            CHECK_THAT(sum, within(8.0 * coherent_gain(w), 1e-12, "rounding of eight cosine sums"));
        }
    }
}

TEST_CASE("the smallest windows are defined") {
    CHECK(window_values(WindowShape::hann, 0).empty());
    CHECK(window_values(WindowShape::hann, 1) == std::vector<double>{1.0});
    CHECK(coherent_gain({}) == 0.0);
    CHECK(std::isnan(noise_bandwidth_lines({})));
    CHECK(overlap_correlation({}, 1) == 0.0);
    CHECK(window_values(WindowShape::kaiser, 8, 0.0) == window_values(WindowShape::rectangle, 8));
}

TEST_CASE("degrees of freedom of averaged spectra") {
    const auto hann = window_values(WindowShape::hann, 4800);
    SECTION("no overlap: two per segment") {
        CHECK_THAT(welch_dof(hann, 4800, 10), within(20.0, 1e-12, "exact by definition"));
        CHECK(welch_dof(hann, 4800, 0) == 0.0);
        CHECK_THAT(welch_dof(hann, 1200, 1), within(2.0, 1e-12, "one periodogram, however it is hopped"));
    }
    SECTION("Hann, half overlapped: 36 K^2 / (19 K - 1)") {
        // Closed form: memory: Percival & Walden 1993; it follows from rho = 1/6.
        for (const double k : {8.0, 19.0, 39.0, 79.0}) {
            CHECK_THAT(welch_dof(hann, 2400, static_cast<std::size_t>(k)),
                       within(36.0 * k * k / (19.0 * k - 1.0), 1e-9, "the same formula, rounding only"));
        }
        CHECK_THAT(welch_dof(hann, 2400, 19), within(36.10, 0.0051, "computed to two decimals"));
    }
    SECTION("ten seconds in one-second Hann segments, three quarters overlapped") {
        CHECK_THAT(welch_dof(hann, 1200, 37), within(39.0, 0.051, "computed to one decimal"));
    }
}
