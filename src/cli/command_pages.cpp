// cranknote completion, cranknote manual: made from what the program takes.
#include <ostream>

#include "cli/commands.hpp"
#include "cli/description.hpp"
#include "job/version.hpp"

namespace cranknote::cli {

void add_pages(CLI::App& app, Streams s) {
    const CLI::App* program = &app;
    app.add_subcommand(
           "completion",
           "Print the completion of commands and options for bash: source <(cranknote completion)")
        ->callback([=] { s.out << bash_completion(describe(*program)); });
    app.add_subcommand("manual", "Print the manual page: cranknote manual | man -l -")->callback([=] {
        s.out << manual_page(describe(*program), program_version());
    });
}

}  // namespace cranknote::cli
