// From findings to causes, suspects and the next step. Table of contents of this folder.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <vector>

#include "compare/comparison.hpp"
#include "layout/layout.hpp"
#include "portrait/finding.hpp"

namespace cranknote {

enum class CauseKind {
    slip,
    misalignment,
    mesh,
    edge,
    bearing,
    pump,
    blade,
    electrical,
    rub,
    rattle,
    valve,
    knock,
    slap,
    injector,
    exhaust,
    intake,
    firing,
    chain,
    gear,
    clutch,
    outside,
    other
};

struct Suspect {
    std::string cause;                ///< "upper timing cover touches the timing belt"
    std::optional<std::string> part;  ///< the layout's name of what is at fault; absent for outside and other
    std::vector<std::string> also;
    CauseKind kind = CauseKind::other;
    double probability = 0.0;
    std::vector<std::string> tied_with;                       ///< causes that these data cannot tell from it
    std::vector<std::string> evidence_for, evidence_against;  ///< sentences
};

enum class Conclusion { nothing_stands_out, open, tie, named };

/// One state of an engine: what was off, on or set right while it ran.
struct State {
    std::string name;
    std::vector<std::string> off;    ///< as typed
    std::vector<std::string> still;  ///< what stands still by it
    std::vector<std::string> with;   ///< checks: "lock", "ac-on", "mist", ...
    bool repaired = false;
    std::string repaired_what;
    bool cold = false, from_cold_seconds = false;
};

}  // namespace cranknote
