// Is a recording usable, and for what.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "units/units.hpp"

namespace cranknote {

enum class QualityCode {
    clipped,
    quiet,
    short_,
    engine_off,
    stalls,
    speech,
    wind,
    unsteady,
    gain_control,
    noise_suppression,
    band_limit,
    low_cut,
    messenger,
    broken_file
};
enum class Severity { note, warn, unusable };

/// One thing to know about a recording: what it means for the result and what to do.
struct QualityRemark {
    QualityCode code;
    Severity severity = Severity::note;
    std::string text;
    std::optional<Hertz> hz;  ///< the limit, where there is one
};

}  // namespace cranknote
