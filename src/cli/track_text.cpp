#include "cli/track_text.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <vector>

namespace cranknote::cli {

std::string track_line(const SpeedTrack& track, Seconds duration, std::size_t columns) {
    if (track.empty() || duration.value() <= 0.0) return {};
    constexpr std::array<std::string_view, 8> blocks{"▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"};
    const std::size_t width = std::max<std::size_t>(8, columns > 18 ? columns - 18 : 8);
    std::vector<double> mean(width);
    for (std::size_t i = 0; i < width; ++i) {
        const Seconds from = duration * (static_cast<double>(i) / static_cast<double>(width));
        const Seconds to = duration * (static_cast<double>(i + 1) / static_cast<double>(width));
        mean[i] = track.turns_between(from, to) * 60.0 / (to - from).value();
    }
    const auto [lo, hi] = std::minmax_element(mean.begin(), mean.end());
    const double middle = 0.5 * (*lo + *hi), half = std::max(0.5 * (*hi - *lo), 0.01 * middle);
    std::string line = std::to_string(std::lround(*lo)) + " ";
    for (const double v : mean) {
        const double place = (v - (middle - half)) / (2.0 * half) * static_cast<double>(blocks.size());
        line += blocks[static_cast<std::size_t>(std::clamp(place, 0.0, 7.0))];
    }
    return line + " " + std::to_string(std::lround(*hi)) + " rpm";
}

}  // namespace cranknote::cli
