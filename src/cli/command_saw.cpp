#include <memory>
#include <ostream>

#include "cli/commands.hpp"
#include "cli/values.hpp"
#include "job/edit.hpp"
#include "job/evidence.hpp"
#include "units/error.hpp"

namespace cranknote::cli {

void add_saw(CLI::App& app, Streams s) {
    struct SawOptions {
        std::string job, text, on, at;
        bool speaks_for = false, speaks_against = false;
    };
    auto* command = app.add_subcommand("saw", "Write down what eyes and hands found, for or against a thing");
    auto o = std::make_shared<SawOptions>();
    command->add_option("JOB", o->job, "The job's folder")->required();
    command->add_option("TEXT", o->text, "In words: \"shiny edge\"")->required();
    command->add_option("--on", o->on, "The part, drive, cover or engine name it was found on")->required();
    auto* yes = command->add_flag("--for", o->speaks_for, "It speaks for this thing as the cause");
    auto* no = command->add_flag("--against", o->speaks_against, "It speaks against it");
    yes->excludes(no);
    command->add_option("--at", o->at, "When: 10:30, or 2026-03-01 10:30; left out: now");
    command->callback([=] {
        if (!o->speaks_for && !o->speaks_against)
            throw Error("does it speak for or against it?", "", "--for or --against",
                        Error::Kind::wrong_call);
        const job::Saw saw{parse_words(o->text, "TEXT"), o->on, o->speaks_for,
                           parse_when(o->at.empty() ? "now" : o->at, "--at"), ""};
        auto folder = open_to_change(o->job, "cranknote saw", s);
        job::Job next = folder.job();
        job::enter_saw(next, job::layout_of(next), saw);
        const std::string text =
            "on " + saw.on + ": " + saw.text + " (" + (saw.speaks_for ? "for" : "against") + ")";
        folder.save(std::move(next), "wrote down what was seen " + text);
        print_line(s.out, "Seen " + text + ".");
    });
}

}  // namespace cranknote::cli
