// Readings in the units of the reader's shop.
#pragma once

#include <string>
#include <string_view>

namespace cranknote {

enum class System { metric, us };

struct Shown {
    double value = 0.0;
    std::string unit;
    int decimals = 1;
};

/// A reading in the other system where its unit has a counterpart there (°C, mm, bar, N·m, km and back), else
/// as it is. `difference`: a tolerance, not a reading (matters for °C). Factors: NIST SP 811 (2008), appendix
/// B.
[[nodiscard]] Shown shown(double value, std::string_view unit, System system, bool difference = false);

}  // namespace cranknote
