// A stretch of sound in memory.
#pragma once

#include <cstddef>
#include <vector>

#include "units/units.hpp"

namespace cranknote {

/// Samples of one or more channels at one rate, full scale = ±1. All channels are equally long.
/// A Recording may be a stretch of a longer file: `start` is where in the file it begins.
struct Recording {
    SampleRate rate;
    std::vector<std::vector<float>> channels;
    Seconds start{0.0};

    [[nodiscard]] std::size_t samples() const { return channels.empty() ? 0 : channels.front().size(); }
    [[nodiscard]] Seconds duration() const {
        return rate.value() > 0 ? Seconds{static_cast<double>(samples()) / rate.value()} : Seconds{0.0};
    }
};

/// The channel with the most energy: a dead one says nothing. The first of equals; `r` must have a channel.
[[nodiscard]] const std::vector<float>& loudest_channel(const Recording& r);

}  // namespace cranknote
