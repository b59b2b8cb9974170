// What is written down with a recording: from the state that is planned, or from one that is there.
#pragma once

#include "desk/scene.hpp"
#include "desk/view_state.hpp"
#include "job/edit.hpp"

namespace cranknote::desk {

/// As the state that is recorded next says.
[[nodiscard]] job::Addition addition_of(const NextState& next, const Scene& scene);

/// Files dropped on a state that is there are more of the same.
[[nodiscard]] job::Addition addition_to(const job::State& state);

}  // namespace cranknote::desk
