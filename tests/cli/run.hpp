// Runs the program as a person would.
#pragma once

#include <sys/wait.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <string_view>

#include "temp_folder.hpp"

namespace cranknote::test {

struct Run {
    int code = -1;
    std::string out, err;
};

inline std::string file_text(const std::filesystem::path& path) {
    std::ifstream in(path, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

/// Its files as text, for command lines.
class Folder : public TempFolder {
  public:
    [[nodiscard]] std::string operator/(std::string_view name) const { return file(name); }
};

/// With ordinary spaces where the texts keep a number and its unit together.
inline std::string with_plain_spaces(std::string text) {
    for (auto at = text.find("\u00a0"); at != std::string::npos; at = text.find("\u00a0", at))
        text.replace(at, 2, " ");
    return text;
}

/// cranknote with these arguments, in shell quoting.
inline Run cranknote(const std::string& arguments) {
    const Folder folder;
    const std::string command =
        std::string(CRANKNOTE_PROGRAM) + " " + arguments + " >" + (folder / "out") + " 2>" + (folder / "err");
    const int status = std::system(command.c_str());
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, file_text(folder / "out"),
            file_text(folder / "err")};
}

}  // namespace cranknote::test
