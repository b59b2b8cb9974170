# One source a line; explicit, so that a forgotten file is seen.
set(NOTE_SOURCES
  note/card.cpp
  note/clips.cpp
  note/html.cpp
  note/job_note.cpp
  note/job_json.cpp
  note/json.cpp
  note/names.cpp
  note/note.cpp
  note/numbers.cpp
  note/pdf.cpp
  note/plain_text.cpp
  note/save.cpp
  note/sentences.cpp
  note/units_shown.cpp
  note/words.cpp
)
