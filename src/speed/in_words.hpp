// Numbers as the sentences of this room write them.
#pragma once

#include <cmath>
#include <string>

namespace cranknote::speed_detail {

/// "0.4": a value from 0, to a tenth.
[[nodiscard]] inline std::string tenths(double value) {
    const long n = std::lround(value * 10.0);
    return std::to_string(n / 10) + "." + std::to_string(n % 10);
}

/// "17 %"
[[nodiscard]] inline std::string percent(double share) {
    return std::to_string(std::lround(100.0 * share)) + " %";
}

}  // namespace cranknote::speed_detail
