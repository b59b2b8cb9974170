#include <memory>
#include <ostream>

#include "cli/commands.hpp"
#include "cli/parse.hpp"
#include "cli/recording_text.hpp"
#include "cli/values.hpp"
#include "job/edit.hpp"
#include "units/error.hpp"

namespace cranknote::cli {
namespace {

struct ReadingOptions {
    std::string job, what, value, unit, target, tolerance, recording, at;
};

job::Reading reading_of(const ReadingOptions& o) {
    if (o.value.empty()) throw Error("what was the value?", o.what, "a number", Error::Kind::wrong_call);
    job::Reading r;
    r.what = parse_words(o.what, "WHAT");
    r.value = parse_number(o.value, "VALUE");
    r.unit = if_given(o.unit, "--unit", parse_words);
    r.target = if_given(o.target, "--target", parse_number);
    r.tolerance = if_given(o.tolerance, "--tolerance", parse_number);
    if (r.tolerance && !r.target)
        throw Error("a tolerance of what?", "--tolerance", "say --target too", Error::Kind::wrong_call);
    if (r.tolerance && *r.tolerance < 0)
        throw Error("a tolerance is 0 or more", "--tolerance", "", Error::Kind::wrong_call);
    r.recording = if_given(o.recording, "--recording", parse_words);
    r.at = parse_when(o.at.empty() ? "now" : o.at, "--at");
    return r;
}

}  // namespace

void add_reading(CLI::App& app, Streams s) {
    auto* command =
        app.add_subcommand("reading", "Write down what was measured besides sound, or show what was");
    auto o = std::make_shared<ReadingOptions>();
    command->add_option("JOB", o->job, "The job's folder")->required();
    command->add_option("WHAT", o->what,
                        "\"idle speed\", \"belt deflection\", ...; without it all are shown");
    command->add_option("VALUE", o->value, "A number");
    command->add_option("--unit", o->unit, "rpm, mm, V, °C, ...");
    command->add_option("--target", o->target, "What it should be");
    command->add_option("--tolerance", o->tolerance, "How far off the target it may be");
    command->add_option("--recording", o->recording,
                        "The recording it belongs to: r1; left out: the whole job");
    command->add_option("--at", o->at, "When: 10:30, or 2026-03-01 10:30; left out: now");
    command->callback([=] {
        if (o->what.empty()) {
            const auto folder = open_to_read(o->job, s);
            for (const auto& r : folder.job().readings) print_line(s.out, reading_text(r));
            if (folder.job().readings.empty()) print_line(s.out, "No readings yet.");
            return;
        }
        const auto reading = reading_of(*o);
        auto folder = open_to_change(o->job, "cranknote reading", s);
        job::Job next = folder.job();
        job::enter_reading(next, reading);
        folder.save(std::move(next), "wrote down a reading: " + reading_text(reading));
        print_line(s.out, reading_text(reading));
    });
}

}  // namespace cranknote::cli
