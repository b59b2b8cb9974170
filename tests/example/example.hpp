// Invented results for tests of texts and figures: an invented engine, numbers made up but consistent.
#pragma once

#include "compare/comparison.hpp"
#include "diagnose/diagnose.hpp"
#include "note/note.hpp"

namespace cranknote::test {

/// A recording at about `rpm` for 12 s, with a track every 0.1 s that wanders by 1 %.
[[nodiscard]] RecordingSummary example_recording(const std::string& file, double rpm);
/// As found against upper cover off: a scrape gone, a chirp still there, a tone that went as expected.
[[nodiscard]] Comparison example_comparison();
[[nodiscard]] std::vector<Suspect> example_suspects();

/// A small engine with a timing belt, an accessory belt, covers and pulls.
[[nodiscard]] Layout example_layout();
/// Every field of a note filled: as found, two states, repaired; clips of a second.
[[nodiscard]] NoteData example_note();

}  // namespace cranknote::test
