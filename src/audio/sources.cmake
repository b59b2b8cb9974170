# One source a line; explicit, so that a forgotten file is seen.
set(AUDIO_SOURCES
  audio/audition.cpp
  audio/byte_source.cpp
  audio/container.cpp
  audio/decode.cpp
  audio/decoder_ffmpeg.cpp
  audio/decoder_sndfile.cpp
  audio/half_speed.cpp
  audio/meter.cpp
  audio/read_stretch.cpp
  audio/write.cpp
)
