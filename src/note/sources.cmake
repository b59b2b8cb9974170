# One source a line; explicit, so that a forgotten file is seen.
set(NOTE_SOURCES
  note/json.cpp
  note/names.cpp
  note/sentences.cpp
  note/words.cpp
)
