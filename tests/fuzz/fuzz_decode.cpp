// Any bytes at all: reading them as a sound file ends in sound or in an Error that names them.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <span>

#include "audio/decode.hpp"
#include "units/error.hpp"

// libsndfile 1.2 forgets 6 KB of libvorbis's where an Ogg header is broken; nothing of ours.
extern "C" const char* __lsan_default_suppressions() {
    return "leak:vorbis_info_init\nleak:libvorbis\nleak:libsndfile\n";
}

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace cranknote;
    try {
        auto file = SoundFile::open_memory(std::as_bytes(std::span(data, size)), "fuzz");
        const auto channels = static_cast<std::size_t>(file.info().channels);
        if (channels < 1 || channels > static_cast<std::size_t>(most_channels)) std::abort();
        if (file.info().rate < lowest_rate || file.info().rate > highest_rate) std::abort();
        file.skip(1000);
        for (int block = 0; block < 50; ++block) {
            const auto sound = file.read(4096);
            if (sound.size() != channels) std::abort();
            for (const auto& c : sound)
                for (const float x : c)
                    if (!std::isfinite(x)) std::abort();
            if (sound.front().size() < 4096) break;
        }
        if (file.broken_at() && !file.damage()) std::abort();
    } catch (const Error& e) {
        if (e.where != "fuzz" || e.trouble.empty() || e.advice.empty()) std::abort();
    }
    return 0;
}
