// What the program's commands are, read off the command line's own description: so a page or a completion
// made from it cannot differ from what is taken.
#pragma once

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

namespace cranknote::cli {

struct OptionDescription {
    std::vector<std::string> names;  ///< "--rpm"; a positional has one without dashes: "JOB"
    std::string text;
    bool positional = false;
    bool takes_value = false;
    bool needed = false;
    bool repeats = false;
};

struct CommandDescription {
    std::string name;  ///< "cranknote layout check"
    std::string text;
    std::vector<OptionDescription> options;
    std::vector<CommandDescription> commands;
};

[[nodiscard]] CommandDescription describe(const CLI::App& app);

/// A script for bash: source it, or put it where bash-completion looks.
[[nodiscard]] std::string bash_completion(const CommandDescription& program);

/// A manual page for man(1), in roff (man(7)). `version` is the program's.
[[nodiscard]] std::string manual_page(const CommandDescription& program, const std::string& version);

}  // namespace cranknote::cli
