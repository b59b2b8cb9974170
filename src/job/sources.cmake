# One source a line; explicit, so that a forgotten file is seen.
set(JOB_SOURCES
  job/add.cpp
  job/analysis.cpp
  job/cache.cpp
  job/core_build.cpp
  job/disk.cpp
  job/edit.cpp
  job/evidence.cpp
  job/examine_file.cpp
  job/folder.cpp
  job/history.cpp
  job/import.cpp
  job/import_names.cpp
  job/job.cpp
  job/json_read.cpp
  job/json_write.cpp
  job/lock.cpp
  job/moment.cpp
  job/pack.cpp
  job/pack_names.cpp
  job/pack_reader.cpp
  job/portrait_cache.cpp
  job/settle_together.cpp
  job/unpack.cpp
  job/verify.cpp
  job/version.cpp
  job/without_owner.cpp
)
set_source_files_properties(job/version.cpp PROPERTIES COMPILE_DEFINITIONS CRANKNOTE_VERSION="${PROJECT_VERSION}")
# The cache of portraits is that of one build of the core.
set(CORE_BUILD_HEADER ${CMAKE_CURRENT_BINARY_DIR}/generated/core_build.hpp)
add_custom_command(OUTPUT ${CORE_BUILD_HEADER}
  COMMAND ${CMAKE_COMMAND} -DLIB=$<TARGET_FILE:cranknote_core> -DOUT=${CORE_BUILD_HEADER}
          -P ${CMAKE_CURRENT_LIST_DIR}/core_build.cmake
  DEPENDS cranknote_core ${CMAKE_CURRENT_LIST_DIR}/core_build.cmake VERBATIM)
set_source_files_properties(job/core_build.cpp PROPERTIES
  OBJECT_DEPENDS ${CORE_BUILD_HEADER} INCLUDE_DIRECTORIES ${CMAKE_CURRENT_BINARY_DIR}/generated)
