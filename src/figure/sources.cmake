# One source a line; explicit, so that a forgotten file is seen.
set(FIGURE_SOURCES
  figure/number_text.cpp
  figure/utf8.cpp
)
