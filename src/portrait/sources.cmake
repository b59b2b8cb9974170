# One source a line; explicit, so that a forgotten file is seen.
set(PORTRAIT_SOURCES
  portrait/features.cpp
  portrait/portrait.cpp
  portrait/running_remarks.cpp
  portrait/usability.cpp
)
