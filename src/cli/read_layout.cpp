#include "cli/read_layout.hpp"

#include <filesystem>
#include <fstream>
#include <sstream>

#include "units/error.hpp"

namespace cranknote::cli {

namespace {

constexpr std::uintmax_t largest_file = 1 << 20;  // parse_layout takes less; this only bounds the reading

std::string read_text(const std::string& path) {
    namespace fs = std::filesystem;
    std::error_code trouble;
    if (!fs::exists(path, trouble))
        throw Error("there is no such file", path, "give the path of a layout (.toml)");
    if (!fs::is_regular_file(path, trouble))
        throw Error("not a file", path, "give the path of a layout (.toml)");
    if (fs::file_size(path, trouble) > largest_file)
        throw Error("too large for a layout", path, "at most 256 kB");
    std::ifstream in(path, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    if (!in || !text) throw Error("cannot be read", path, "check that you may read it");
    return text.str();
}

}  // namespace

Layout read_layout(const std::string& path) { return parse_layout(read_text(path), path); }

std::optional<Layout> layout_of(const std::string& layout_path, std::optional<int> cylinders) {
    if (!layout_path.empty() && cylinders)
        throw Error("--layout and --cylinders say the same thing twice", "", "give one of them",
                    Error::Kind::wrong_call);
    if (!layout_path.empty()) return read_layout(layout_path);
    if (!cylinders) return std::nullopt;
    if (*cylinders < 1 || *cylinders > 16)
        throw Error("no engine has " + std::to_string(*cylinders) + " cylinders here", "--cylinders",
                    "1 to 16", Error::Kind::wrong_call);
    return typical_layout(*cylinders);
}

}  // namespace cranknote::cli
