# One source a line; explicit, so that a forgotten file is seen.
set(JOB_SOURCES
)
