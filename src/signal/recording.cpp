#include "signal/recording.hpp"

#include <algorithm>

namespace cranknote {

const std::vector<float>& loudest_channel(const Recording& r) {
    const auto energy = [](const std::vector<float>& x) {
        double sum = 0.0;
        for (const float v : x) sum += static_cast<double>(v) * static_cast<double>(v);
        return sum;
    };
    return *std::max_element(r.channels.begin(), r.channels.end(),
                             [&](const auto& a, const auto& b) { return energy(a) < energy(b); });
}

}  // namespace cranknote
