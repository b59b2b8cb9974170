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
void add_portrait(CLI::App& app, Streams s);
void add_batch(CLI::App& app, Streams s);
// A job on disk.
void add_new(CLI::App& app, Streams s);
void add_add(CLI::App& app, Streams s);
void add_states(CLI::App& app, Streams s);
void add_mark(CLI::App& app, Streams s);
void add_saw(CLI::App& app, Streams s);
void add_reading(CLI::App& app, Streams s);
void add_card(CLI::App& app, Streams s);
void add_note(CLI::App& app, Streams s);
void add_pack(CLI::App& app, Streams s);
void add_unpack(CLI::App& app, Streams s);
void add_import(CLI::App& app, Streams s);
void add_undo(CLI::App& app, Streams s);
void add_verify(CLI::App& app, Streams s);
void add_suspects(CLI::App& app, Streams s);
void add_inputs(CLI::App& app, Streams s);
void add_record(CLI::App& app, Streams s);
void add_listen(CLI::App& app, Streams s);
// What the program is, for the shell and for man.
void add_pages(CLI::App& app, Streams s);

}  // namespace cranknote::cli
