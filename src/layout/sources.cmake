# One source a line; explicit, so that a forgotten file is seen.
set(LAYOUT_SOURCES
)
