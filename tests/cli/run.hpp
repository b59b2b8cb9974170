// Runs the program as a person would.
#pragma once

#include <sys/wait.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

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

/// A folder of this test's own, gone afterwards.
class Folder {
  public:
    Folder() {
        std::string name = (std::filesystem::temp_directory_path() / "cranknote_test_XXXXXX").string();
        if (mkdtemp(name.data()) == nullptr) throw std::runtime_error("no temporary folder");
        path_ = name;
    }
    ~Folder() { std::filesystem::remove_all(path_); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    [[nodiscard]] std::string operator/(const std::string& name) const { return (path_ / name).string(); }

  private:
    std::filesystem::path path_;
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
