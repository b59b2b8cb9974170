# One source a line; explicit, so that a forgotten file is seen.
set(COMPARE_SOURCES
  compare/align.cpp
  compare/cells.cpp
  compare/spread.cpp
)
