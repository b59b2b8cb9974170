#include "job/version.hpp"

#include <fmt/core.h>
#include <openssl/crypto.h>

#include <nlohmann/json.hpp>

namespace cranknote {

std::string program_version() { return CRANKNOTE_VERSION; }

std::vector<std::pair<std::string, std::string>> library_versions() {
    return {{"fmt", fmt::format("{}.{}.{}", FMT_VERSION / 10000, FMT_VERSION / 100 % 100, FMT_VERSION % 100)},
            {"libcrypto", OpenSSL_version(OPENSSL_VERSION_STRING)},
            {"nlohmann-json", fmt::format("{}.{}.{}", NLOHMANN_JSON_VERSION_MAJOR,
                                          NLOHMANN_JSON_VERSION_MINOR, NLOHMANN_JSON_VERSION_PATCH)}};
}

}  // namespace cranknote
