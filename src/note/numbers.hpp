// A note's numbers for spreadsheets and programs.
#pragma once

#include <string>

#include "note/json.hpp"
#include "note/note.hpp"

namespace cranknote {

/// One table: section, name, field, value, low, high, unit. RFC 4180 (comma, CRLF, quotes doubled), UTF-8
/// with a byte-order mark, so that spreadsheets read it. Values are those of the JSON, with a decimal point.
/// A text that a spreadsheet would take for a formula (it begins with = + - @ or a tab) gets an apostrophe in
/// front.
[[nodiscard]] std::string csv_of(const NoteData& data);

/// One field of CSV from text typed by people, escaped as above. A number is written by json's digits
/// instead.
[[nodiscard]] std::string csv_text(std::string_view text);

/// The note's numbers as JSON: states, comparison, complaints, guilty, repair, readings, sources. The objects
/// in it are those of `cranknote compare --json` and `cranknote suspects --json`.
[[nodiscard]] Json note_json(const NoteData& data);

}  // namespace cranknote
