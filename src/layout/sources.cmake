# One source a line; explicit, so that a forgotten file is seen.
set(LAYOUT_SOURCES
  layout/layout.cpp
  layout/words.cpp
  layout/bearings.cpp
  layout/belts.cpp
  layout/diameters.cpp
  layout/toml_table.cpp
  layout/parse_layout.cpp
  layout/check_text.cpp
  layout/check_layout.cpp
  layout/route_length.cpp
  layout/write_toml.cpp
  layout/typical.cpp
  layout/turns.cpp
  layout/lines.cpp
  layout/off.cpp
)
