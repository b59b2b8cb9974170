#include "units/units.hpp"

#include <catch2/catch.hpp>

#include "within.hpp"

using namespace cranknote;
using test::within;

TEST_CASE("crank orders at idle") {
    // reference 1.1, check values (computed from k n / 60)
    CHECK_THAT(frequency_of(Ratio{0.5}, Rpm{800}).value(), within(6.6667, 5e-5, "four decimals printed"));
    CHECK_THAT(frequency_of(Ratio{2.5}, Rpm{750}).value(), within(31.25, 1e-12, "exact"));
    CHECK_THAT(frequency_of(Ratio{4}, Rpm{650}).value(), within(43.3333, 5e-5, "four decimals printed"));
    // common practice: a six-cylinder four-stroke at 800 rpm fires at 40 Hz
    CHECK_THAT(frequency_of(Ratio{6 / 2.0}, Rpm{800}).value(), within(40.0, 1e-12, "exact"));
}

TEST_CASE("conversions undo each other") {
    const Rpm n{817.3};
    const Hertz f{1234.5};
    CHECK_THAT(frequency_of(ratio_of(f, n), n).value(), within(f.value(), 1e-9, "double rounding"));
    CHECK_THAT(rpm_of(f, ratio_of(f, n)).value(), within(n.value(), 1e-9, "double rounding"));
    CHECK_THAT(rpm_of_turns(turns_per_second(n)).value(), within(n.value(), 1e-9, "double rounding"));
}

TEST_CASE("levels") {
    CHECK_THAT(decibel_of_power(2.0).value(), within(3.0103, 5e-5, "four decimals of 10 lg 2"));
    CHECK_THAT(decibel_of_amplitude(2.0).value(), within(6.0206, 5e-5, "four decimals of 20 lg 2"));
    CHECK_THAT(power_of(Decibel{-10}), within(0.1, 1e-12, "double rounding"));
}
