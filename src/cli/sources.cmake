# One source a line; explicit, so that a forgotten file is seen.
set(CLI_SOURCES
  cli/main.cpp
  cli/command_layout.cpp
  cli/layout_text.cpp
)
