// cranknote's commands: one file each (command_NAME.cpp). A command parses, calls, prints; it computes
// nothing.
#pragma once

#include <CLI/CLI.hpp>
#include <iosfwd>
#include <string>

namespace cranknote::cli {

/// Where a command writes: results on `out` (kept back until it succeeds), progress and remarks on `err`.
struct Streams {
    std::ostream& out;
    std::ostream& err;
};

// Each adds its subcommand to `app` with a callback that throws cranknote::Error when it cannot do it.
void add_compare(CLI::App& app, Streams s);
void add_layout(CLI::App& app, Streams s);
void add_speed(CLI::App& app, Streams s);

}  // namespace cranknote::cli
