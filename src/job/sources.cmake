# One source a line; explicit, so that a forgotten file is seen.
set(JOB_SOURCES
  job/add.cpp
  job/cache.cpp
  job/disk.cpp
  job/edit.cpp
  job/evidence.cpp
  job/examine_file.cpp
  job/folder.cpp
  job/history.cpp
  job/job.cpp
  job/json_read.cpp
  job/json_write.cpp
  job/lock.cpp
  job/moment.cpp
  job/verify.cpp
  job/version.cpp
)
set_source_files_properties(job/version.cpp PROPERTIES COMPILE_DEFINITIONS CRANKNOTE_VERSION="${PROJECT_VERSION}")
