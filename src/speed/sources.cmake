# One source a line; explicit, so that a forgotten file is seen.
set(SPEED_SOURCES
  speed/angle.cpp
  speed/coarse.cpp
  speed/evidence.cpp
  speed/follow.cpp
  speed/from_sound.cpp
  speed/multiple.cpp
  speed/pickup.cpp
  speed/pieces.cpp
  speed/refine.cpp
  speed/running.cpp
  speed/together.cpp
  speed/track.cpp
)
