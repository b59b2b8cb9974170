#define CATCH_CONFIG_MAIN
#include <catch2/catch.hpp>

// libsndfile 1.2 forgets 6 KB of libvorbis's where an Ogg header is broken; nothing of ours.
extern "C" const char* __lsan_default_suppressions() {
    return "leak:vorbis_info_init\nleak:libvorbis\nleak:libsndfile\n";
}
