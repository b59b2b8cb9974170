#include <memory>
#include <ostream>

#include "cli/commands.hpp"
#include "cli/values.hpp"
#include "units/error.hpp"

namespace cranknote::cli {

void add_undo(CLI::App& app, Streams s) {
    struct UndoOptions {
        std::string job;
        bool redo = false;
    };
    auto* command = app.add_subcommand("undo", "Take back the last change of a job");
    auto o = std::make_shared<UndoOptions>();
    command->add_option("JOB", o->job, "The job's folder")->required();
    command->add_flag("--redo", o->redo, "Take the last undo back");
    command->callback([=] {
        auto folder = open_to_change(o->job, "cranknote undo", s);
        const auto change = o->redo ? folder.redo() : folder.undo();
        if (!change)
            throw Error(o->redo ? "there is nothing to do again" : "there is nothing to undo", o->job, "");
        print_line(s.out, (o->redo ? "Done again: " : "Undone: ") + *change + ".");
    });
}

}  // namespace cranknote::cli
