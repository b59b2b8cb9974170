#include "speed/angle.hpp"

#include <cmath>
#include <numbers>

#include "engine_sound.hpp"
#include "within.hpp"

using namespace cranknote;
using cranknote::test::within;

namespace {
// A run-up, a fall and a steady stretch, with knots at odd moments.
const SpeedTrack track{{Seconds{0.37}, Seconds{2.11}, Seconds{3.9}, Seconds{7.03}},
                       {Rpm{700}, Rpm{1400}, Rpm{820}, Rpm{820}}};
const SampleRate rate{8000};
}  // namespace

TEST_CASE("Angle positions invert the track's turns exactly") {
    const double per_turn = 37.0;
    const auto at = angle_positions(track, rate, Seconds{0.2}, Seconds{9.5}, per_turn);
    const double start = track.turns_at(Seconds{0.2});
    REQUIRE(at.size() ==
            static_cast<std::size_t>(track.turns_between(Seconds{0.2}, Seconds{9.5}) * per_turn) + 1);
    double worst = 0.0;
    for (std::size_t i = 0; i < at.size(); ++i) {
        const double turns = track.turns_at(Seconds{at[i] / rate.value()}) - start;
        worst = std::max(worst, std::abs(turns - static_cast<double>(i) / per_turn));
    }
    CHECK_THAT(worst, within(0.0, 1e-9, "turns; double rounding over 150 turns"));
}

TEST_CASE("Positions rise, and an impossible request gives none") {
    const auto at = angle_positions(track, rate, Seconds{0}, Seconds{9}, 100.0);
    CHECK(std::is_sorted(at.begin(), at.end()));
    CHECK(angle_positions(SpeedTrack{}, rate, Seconds{0}, Seconds{9}, 100.0).empty());
    CHECK(angle_positions(track, rate, Seconds{9}, Seconds{3}, 100.0).empty());
    CHECK(angle_positions(track, rate, Seconds{0}, Seconds{9}, 0.0).empty());
}

TEST_CASE("A tone at 24 per crank turn is one line at 24 against angle, whatever the speed does") {
    // Phase from the exact turns of the track; 24 at 1400 rpm is 560 Hz, 0.07 of the rate.
    std::vector<float> x(static_cast<std::size_t>(9.0 * rate.value()));
    for (std::size_t i = 0; i < x.size(); ++i) {
        const double turns = track.turns_at(Seconds{static_cast<double>(i) / rate.value()});
        x[i] = static_cast<float>(std::sin(2.0 * std::numbers::pi * 24.0 * turns));
    }
    const double per_turn = 700.0;  // above rate / slowest turns per second
    const auto y = against_angle(x, rate, track, per_turn);
    double c = 0.0, s = 0.0, all = 0.0;
    const std::size_t margin = 2000;  // the kernel reaches over the ends
    for (std::size_t i = margin; i + margin < y.size(); ++i) {
        const double phase = 2.0 * std::numbers::pi * 24.0 * static_cast<double>(i) / per_turn;
        c += std::cos(phase) * static_cast<double>(y[i]), s += std::sin(phase) * static_cast<double>(y[i]);
        all += static_cast<double>(y[i]) * static_cast<double>(y[i]);
    }
    const double power = 2.0 * (c * c + s * s) / static_cast<double>(y.size() - 2 * margin);
    const double rest_db = 10.0 * std::log10(1.0 - std::min(power / all, 1.0 - 1e-12));
    CHECK(rest_db < -80.0);  // images below -90 dB; the part turn at the ends of the sum adds a little
}
