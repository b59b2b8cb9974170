// A simulated pair, read and compared as the command would do it.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "compare/examine.hpp"
#include "diagnose/diagnose.hpp"
#include "layout/layout.hpp"
#include "score/truth_of.hpp"

namespace cranknote::score {

struct MadePair {
    TrueCase truth;
    Layout layout;
    State a, b;
    std::vector<std::unique_ptr<Examined>> examined;  ///< in the order of truth.takes
    Comparison comparison;
};

/// `which`: layout.toml, layout-half-unknown.toml or "cylinders". `true_speed`: the truth ±5 rpm as a tag.
[[nodiscard]] MadePair made_pair(const TrueCase& truth, const std::string& which, bool true_speed);

[[nodiscard]] bool same_cause(const Suspect& s, const TrueCause& c);

}  // namespace cranknote::score
