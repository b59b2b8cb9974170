// The recording card: one page to print and hang in the shop, and one with an engine's own names to tick.
#pragma once

#include "layout/layout.hpp"
#include "note/document.hpp"
#include "note/sentences.hpp"
#include "note/units_shown.hpp"

namespace cranknote {

/// Where to put the phone, what to record, say and write down, and what to be careful with. One page.
[[nodiscard]] Document recording_card(const Sentences& say = {}, System system = System::metric);

/// The same engine's names: its drawing, pulls with minutes and cautions, and a table of states to tick.
[[nodiscard]] Document layout_card(const Layout& layout, const Sentences& say = {},
                                   System system = System::metric);

}  // namespace cranknote
