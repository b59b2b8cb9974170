#include "desk/time_ratio.hpp"

#include <algorithm>
#include <bit>
#include <cmath>

#include "signal/spectrum.hpp"

namespace cranknote::desk {

namespace {

constexpr int rows = 120;
constexpr std::size_t most_columns = 240;
constexpr double window_seconds = 0.16;  // two turns of a slow idle: single turns are smeared, lines are not
constexpr double lowest = 0.5, highest = 200.0;

Rpm speed_at(const SpeedReading& speed, Seconds t) {
    return speed.track.empty() ? *speed.mean : speed.track.speed_at(t);
}

/// The power between two frequencies in dB, from the density's lines: interpolated where a row is finer than
/// a line.
float level(std::span<const float> density, double step, double low, double high) {
    if (high / step + 1.0 >= static_cast<double>(density.size())) return std::nanf("");
    double power = 0.0;
    if (high - low >= step) {
        power = signal::band_power(density, step, low, high);
    } else {
        const double at = 0.5 * (low + high) / step, whole = std::floor(at);
        const auto i = static_cast<std::size_t>(whole);
        power = (high - low) * (static_cast<double>(density[i]) * (1.0 - (at - whole)) +
                                static_cast<double>(density[i + 1]) * (at - whole));
    }
    return static_cast<float>(10.0 * std::log10(std::max(power, 1e-20)));
}

}  // namespace

figure::TimeRatioMap time_ratio_map(std::span<const float> x, SampleRate rate, const SpeedReading& speed) {
    figure::TimeRatioMap map;
    const auto length = std::bit_ceil(static_cast<std::size_t>(window_seconds * rate.value()));
    if (!speed.mean || x.size() < 2 * length) return map;
    const auto hop = std::max(length / 4, (x.size() - length) / most_columns + 1);
    const auto s = signal::spectrogram(x, rate.value(), length, hop);
    const double top = std::min(highest, 0.98 * rate.value() / 2.0 / (speed.mean->value() / 60.0));
    map.columns = static_cast<int>(s.rows);
    map.rows = rows;
    map.time = {Seconds{0.0}, Seconds{static_cast<double>(x.size()) / rate.value()}};
    map.ratio = {Ratio{lowest}, Ratio{top}};
    map.level.assign(s.rows * rows, std::nanf(""));
    const double factor = std::pow(top / lowest, 1.0 / rows);
    for (std::size_t column = 0; column < s.rows; ++column) {
        const Seconds t{(static_cast<double>(column * hop) + 0.5 * static_cast<double>(length)) /
                        rate.value()};
        const double turn = speed_at(speed, t).value() / 60.0;
        if (turn <= 0.0) continue;
        double low = lowest * turn;
        for (std::size_t row = 0; row < rows; ++row, low *= factor)
            map.level[row * s.rows + column] = level(s.row(column), s.step, low, low * factor);
    }
    return map;
}

}  // namespace cranknote::desk
