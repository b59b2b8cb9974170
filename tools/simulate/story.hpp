// A job of one engine as a person writes it: what is wrong, what was recorded in which order, where the phone
// lay. A small TOML file; samples/minibus/story.toml is one.
//
//   engine_seed = 12        # which engine; `simulate --engine-seed 12 --cylinders 5` says what turns on it
//   cylinders = 5
//   shop_seed = 3           # room, phone, and all that differs from recording to recording
//
//   [[fault]]               # kind and part in the contract's words; `also` a cover that is touched
//   kind = "edge"
//   part = "timing belt"
//   also = ["upper timing cover"]
//   variant = "belt turn"   # left out: the first of its kind
//   level_db = 6.0          # mean over the recordings in which it sounds (true levels are in the truth)
//   presence = 1.0          # share of the time
//
//   [[file]]
//   name = "as found.m4a"   # .wav, .m4a, .mp3, .opus, or .mp4: a film whose picture is black
//   placement = 0           # equal numbers: the phone lay untouched
//   [[file.stretch]]        # several: one after the other in one file
//   state = "as found"
//   seconds = 15
//   cold_from = 1100        # rpm at the start, falling to cold_to within 30 s; left out: a warm idle
//   cold_to = 950
//   since_start = 3
//   off = [] with = [] repaired = "accessory belt" cured = [0]   # faults (from 0) that are set right by then
#pragma once

#include <string>

namespace cranknote::simulate {

/// Makes the recordings of a story into `folder`, with truth.json and the mechanic's layout.toml beside them.
/// `text` is the story, `source` what errors call it. Throws Error: with source:line for a word or number
/// that is not understood, for a fault or name that the engine does not have; without the ffmpeg command.
void tell_story(const std::string& text, const std::string& source, const std::string& folder);

/// What turns on an engine, what can be taken off, and what can be wrong with it, a line each.
[[nodiscard]] std::string describe_engine(unsigned long long seed, int cylinders);

}  // namespace cranknote::simulate
