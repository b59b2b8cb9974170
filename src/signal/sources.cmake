# One source a line; explicit, so that a forgotten file is seen.
set(SIGNAL_SOURCES
  signal/discovery.cpp
  signal/distribution.cpp
  signal/entropy.cpp
  signal/envelope.cpp
  signal/fft.cpp
  signal/impulsiveness.cpp
  signal/moderated.cpp
  signal/resample.cpp
  signal/robust.cpp
  signal/running_median.cpp
  signal/special.cpp
  signal/spectrum.cpp
  signal/window.cpp
)
