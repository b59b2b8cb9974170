// The state that is recorded next: what a click in the drawing does to it, and how it is called.
#pragma once

#include <optional>
#include <string>

#include "desk/scene.hpp"
#include "desk/view_state.hpp"

namespace cranknote::desk {

/// Takes a thing (part, drive, cover, pull) off in the next state, or puts it back on. Where the engine must
/// never run without it, nothing changes and the sentence that says why is returned.
[[nodiscard]] std::optional<std::string> take_off_or_refit(NextState& next, const Layout& layout,
                                                           const std::string& name);

/// Starts from where the engine stands: what was off in the last state is still off.
[[nodiscard]] NextState next_after(const Scene& scene);

/// What a proposed step makes of it.
[[nodiscard]] NextState next_of_step(const Step& step, const NextState& now);

/// The name as typed, or made from what is off and on: "fan belt off", "as found, mist", "repaired".
[[nodiscard]] std::string name_of(const NextState& next, const Scene& scene);

/// "820" (a dash gauge, ±40) or "820~2". Absent: nothing, or no such speed, typed.
[[nodiscard]] std::optional<SpeedTag> speed_tag_from(const std::string& typed);

/// What is to be cautious about before recording it: the run limit, and cautions of the pulls that are off.
[[nodiscard]] std::vector<std::string> cautions_of(const NextState& next, const Layout& layout);

}  // namespace cranknote::desk
