# One source a line; explicit, so that a forgotten file is seen.
set(FIGURE_SOURCES
  figure/cairo_painter.cpp
  figure/comparison_figure.cpp
  figure/labels.cpp
  figure/laid_out.cpp
  figure/lay_elements.cpp
  figure/lay_out.cpp
  figure/number_text.cpp
  figure/other_figures.cpp
  figure/row_figures.cpp
  figure/sheet.cpp
  figure/speed_figure.cpp
  figure/svg_painter.cpp
  figure/theme.cpp
  figure/ticks.cpp
  figure/utf8.cpp
)
