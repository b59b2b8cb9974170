# One source a line; explicit, so that a forgotten file is seen.
set(CLI_SOURCES
  cli/main.cpp
  cli/command_compare.cpp
  cli/command_layout.cpp
  cli/command_speed.cpp
  cli/layout_text.cpp
  cli/parse.cpp
  cli/read_layout.cpp
  cli/track_text.cpp
  cli/write_figure.cpp
)
