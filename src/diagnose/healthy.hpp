// What a healthy engine sounds like, as two causes that are no fault: what was stopped, and what still runs.
#pragma once

#include <optional>

#include "diagnose/course.hpp"
#include "diagnose/evidence.hpp"

namespace cranknote {

/// The healthy sound of what runs in only one of two settings: ripple, blades, vanes, mesh at moderate
/// prominence, and flow noise; hardly ever swelling. Absent when the same things run in both.
[[nodiscard]] std::optional<Cause> healthy_sound_of_stopped(const Layout& layout, const Setting& a,
                                                            const Setting& b);

/// The healthy sound of what runs in both: half orders, mesh, ripple, valves, flow.
[[nodiscard]] Cause healthy_engine(const Layout& layout, const Setting& a, const Setting& b);

/// Parts and drives that run in `a` and stand still in `b`.
[[nodiscard]] std::set<std::string> stopped_between(const Layout& layout, const Setting& a, const Setting& b);

/// Log odds that a sound this prominent is a fault rather than healthy, limited both ways.
[[nodiscard]] double prominence_log_odds(const Likelihoods& l, const Finding& finding);

/// How much less chance explains a finding than a real change does, by its false-discovery rate.
[[nodiscard]] double strength_log_odds(const Likelihoods& l, const Finding& f);

}  // namespace cranknote
