#include "job/version.hpp"

#include <archive.h>
#include <cairo.h>
#include <fmt/core.h>
#include <openssl/crypto.h>
#include <pango/pango-utils.h>
#include <portaudio.h>
#include <sndfile.h>
#include <toml++/toml.h>

#include <nlohmann/json.hpp>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <libavutil/avutil.h>
#include <libswresample/swresample.h>
}

namespace cranknote {
namespace {

/// FFmpeg's way of counting: 16 bits, 8 bits, 8 bits.
std::string ffmpeg_version(unsigned version) {
    return fmt::format("{}.{}.{}", version >> 16, version >> 8 & 255u, version & 255u);
}

/// "libsndfile-1.2.0", '-' -> "1.2.0"
std::string after(char sign, const std::string& text) {
    const auto at = text.find(sign);
    return at == text.npos ? text : text.substr(at + 1);
}

}  // namespace

std::string program_version() { return CRANKNOTE_VERSION; }

std::vector<std::pair<std::string, std::string>> library_versions() {
    const int pa = Pa_GetVersion();
    return {{"Cairo", cairo_version_string()},
            {"fmt", fmt::format("{}.{}.{}", FMT_VERSION / 10000, FMT_VERSION / 100 % 100, FMT_VERSION % 100)},
            {"libarchive", after(' ', archive_version_string())},
            {"libavcodec", ffmpeg_version(avcodec_version())},
            {"libavformat", ffmpeg_version(avformat_version())},
            {"libavutil", ffmpeg_version(avutil_version())},
            {"libcrypto", OpenSSL_version(OPENSSL_VERSION_STRING)},
            {"libsndfile", after('-', sf_version_string())},
            {"libswresample", ffmpeg_version(swresample_version())},
            {"nlohmann-json", fmt::format("{}.{}.{}", NLOHMANN_JSON_VERSION_MAJOR,
                                          NLOHMANN_JSON_VERSION_MINOR, NLOHMANN_JSON_VERSION_PATCH)},
            {"Pango", pango_version_string()},
            {"PortAudio", fmt::format("{}.{}.{}", pa >> 16, pa >> 8 & 255, pa & 255)},
            {"toml++", fmt::format("{}.{}.{}", TOML_LIB_MAJOR, TOML_LIB_MINOR, TOML_LIB_PATCH)}};
}

}  // namespace cranknote
