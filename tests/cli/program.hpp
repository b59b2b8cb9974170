// Runs the program as a person or a script does, and gives back what it said.
#pragma once

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <filesystem>
#include <fstream>
#include <string>
#include <system_error>
#include <vector>

namespace cranknote::test {

struct Said {
    int code = -1;  ///< exit code; 128 + the signal's number if one ended it
    std::string out, err;
};

/// Runs CRANKNOTE_PROGRAM with these arguments in `folder`; standard input is empty. No shell is between.
inline Said run_program(const std::filesystem::path& folder, const std::vector<std::string>& arguments) {
    const auto out = folder / ".said-out", err = folder / ".said-err";
    const pid_t child = ::fork();
    if (child < 0) throw std::system_error(errno, std::generic_category(), "fork");
    if (child == 0) {
        std::vector<char*> argv{const_cast<char*>(CRANKNOTE_PROGRAM)};
        for (const auto& a : arguments) argv.push_back(const_cast<char*>(a.c_str()));
        argv.push_back(nullptr);
        const int to_out = ::open(out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
        const int to_err = ::open(err.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
        const int from = ::open("/dev/null", O_RDONLY);
        if (to_out < 0 || to_err < 0 || from < 0 || ::chdir(folder.c_str()) != 0) ::_exit(99);
        ::dup2(from, 0);
        ::dup2(to_out, 1);
        ::dup2(to_err, 2);
        ::execv(CRANKNOTE_PROGRAM, argv.data());
        ::_exit(99);
    }
    int status = 0;
    while (::waitpid(child, &status, 0) < 0 && errno == EINTR) {
    }
    const auto text = [](const std::filesystem::path& file) {
        std::ifstream in(file, std::ios::binary);
        std::string all{std::istreambuf_iterator<char>(in), {}};
        in.close();
        std::filesystem::remove(file);
        return all;
    };
    return {WIFSIGNALED(status) ? 128 + WTERMSIG(status) : WEXITSTATUS(status), text(out), text(err)};
}

/// With ordinary spaces where texts keep a number and its unit together, and where a line was broken.
inline std::string on_one_line(std::string text) {
    for (auto at = text.find("\u00a0"); at != text.npos; at = text.find("\u00a0", at))
        text.replace(at, 2, " ");
    for (auto& c : text)
        if (c == '\n') c = ' ';
    return text;
}

}  // namespace cranknote::test
