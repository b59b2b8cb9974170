# One source a line; explicit, so that a forgotten file is seen.
set(SPEED_SOURCES
  speed/track.cpp
)
