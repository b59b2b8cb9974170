#include "cli/commands.hpp"

namespace cranknote::cli {

void add_layout(CLI::App& app, Streams) { app.add_subcommand("layout", "Check or show a layout"); }

}  // namespace cranknote::cli
