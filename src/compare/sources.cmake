# One source a line; explicit, so that a forgotten file is seen.
set(COMPARE_SOURCES
  compare/align.cpp
  compare/cells.cpp
  compare/character.cpp
  compare/compare.cpp
  compare/examine.cpp
  compare/findings.cpp
  compare/range.cpp
  compare/spread.cpp
)
