// Inside of causes.cpp: the families of causes, and small makers of predictions. Not for other rooms.
#pragma once

#include <string>
#include <vector>

#include "diagnose/causes.hpp"

namespace cranknote::detail {

using Causes = std::vector<Cause>;

/// What all families need, made once.
struct Workbench {
    const Layout& layout;
    std::vector<PredictedLine> lines;  ///< everything the layout predicts

    /// The fundamental that `owner` makes by this mechanism, if the layout predicts one.
    [[nodiscard]] const PredictedLine* fundamental(const std::string& owner, LineKind kind) const;
};

[[nodiscard]] UncertainRatio exactly(double ratio);

/// A predicted line as heard from a cause. `says` goes before "at 20.00×".
[[nodiscard]] HeardAt heard(const PredictedLine& line, std::string name, std::string says,
                            std::vector<double> harmonics);

/// Harmonic shares scaled so that they sum to `share`: most of it on the fundamental.
[[nodiscard]] std::vector<double> mostly_first(double share);
/// The same, falling slowly: a line family whose strongest member may be any of the first five.
[[nodiscard]] std::vector<double> spread_out(double share);

/// Once per turn of a part, as a beat; nothing if its turns are not known.
void add_turns(std::vector<HeardAt>& to, const Workbench& w, const std::string& part, double share);

void add_drive_causes(Causes& to, const Workbench& w);
void add_part_causes(Causes& to, const Workbench& w);
void add_bearing(Causes& to, const Workbench& w, const Part& part);
void add_cover_causes(Causes& to, const Workbench& w);
void add_engine_causes(Causes& to, const Workbench& w);
void add_outside_causes(Causes& to, const Workbench& w);

}  // namespace cranknote::detail
