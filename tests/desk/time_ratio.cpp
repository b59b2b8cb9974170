// One recording through time: what turns with the engine lies level however its speed wanders.
#include "desk/time_ratio.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

using namespace cranknote;

namespace {

constexpr double rate = 16000.0, seconds = 8.0, ratio = 20.0;

/// A tone at `ratio` times a crank that rises from 800 to 1000 rpm, and its speed track.
std::pair<std::vector<float>, SpeedReading> rising() {
    SpeedReading speed;
    speed.mean = Rpm{900};
    for (int i = 0; i <= 80; ++i) {
        speed.track.at.push_back(Seconds{0.1 * i});
        speed.track.rpm.push_back(Rpm{800.0 + 2.5 * i});
    }
    std::vector<float> x(static_cast<std::size_t>(rate * seconds));
    for (std::size_t i = 0; i < x.size(); ++i)
        x[i] =
            static_cast<float>(0.5 * std::sin(2.0 * std::numbers::pi * ratio *
                                              speed.track.turns_at(Seconds{static_cast<double>(i) / rate})));
    return {x, speed};
}

/// Ratio in the middle of the loudest row of a column.
double loudest(const figure::TimeRatioMap& m, int column) {
    int best = 0;
    const auto at = [&](int row) { return m.level[static_cast<std::size_t>(row * m.columns + column)]; };
    for (int row = 1; row < m.rows; ++row)
        if (std::isfinite(at(row)) && !(at(best) > at(row))) best = row;
    return m.ratio.first.value() * std::pow(m.ratio.second / m.ratio.first, (best + 0.5) / m.rows);
}

}  // namespace

TEST_CASE("a tone that turns with the engine stays in its row while the engine speeds up") {
    const auto [x, speed] = rising();
    const auto m = desk::time_ratio_map(x, SampleRate{rate}, speed);
    REQUIRE(m.columns > 20);
    REQUIRE(m.columns <= 240);
    CHECK(m.time.second == Seconds{seconds});
    // A row is a 120th of the range in the logarithm, and the tone may lie at a row's edge: one row either
    // way.
    const double row = std::pow(m.ratio.second / m.ratio.first, 1.0 / m.rows);
    for (int column = 0; column < m.columns; ++column) {
        INFO("column " << column);
        CHECK(loudest(m, column) < ratio * row);
        CHECK(loudest(m, column) > ratio / row);
    }
}

TEST_CASE("without a speed, or too short, there is no picture") {
    const auto [x, speed] = rising();
    CHECK(desk::time_ratio_map(x, SampleRate{rate}, {}).columns == 0);
    CHECK(desk::time_ratio_map(std::span(x).first(1000), SampleRate{rate}, speed).columns == 0);
}
