# One source a line; explicit, so that a forgotten file is seen.
set(NOTE_SOURCES
  note/names.cpp
)
