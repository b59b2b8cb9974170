#include <filesystem>
#include <memory>
#include <ostream>

#include "cli/commands.hpp"
#include "cli/job_card.hpp"
#include "cli/values.hpp"
#include "cli/wrong.hpp"
#include "job/disk.hpp"
#include "job/edit.hpp"
#include "job/evidence.hpp"
#include "units/error.hpp"

namespace cranknote::cli {
namespace {

namespace fs = std::filesystem;

struct NewOptions {
    std::string job, layout, like;
    int cylinders = 0;
    std::vector<std::string> worked_on;
    CardOptions card;
};

constexpr std::uint64_t longest_layout = 1 << 20;

/// The layout or the number of cylinders, from where it was said to come from.
void choose_layout(const NewOptions& o, job::Job& job) {
    if (!o.layout.empty() && o.cylinders != 0)
        wrong("both a layout and a number of cylinders", "--cylinders", "give one of them");
    if (!o.layout.empty())
        job.layout = job::read_file(o.layout, longest_layout);
    else if (o.cylinders != 0)
        job.cylinders = o.cylinders;
    else if (o.like.empty())
        wrong("which engine?", "", "--layout FILE, --cylinders N, or --like OLDJOB for another job's layout");
}

/// Another job's layout, unless one was given, and the way to it.
void start_like(const NewOptions& o, const fs::path& place, job::Job& job, Streams s) {
    if (o.like.empty()) return;
    const auto old = open_to_read(o.like, s);
    if (!job.layout && !job.cylinders) {
        job.layout = old.job().layout;
        job.cylinders = old.job().cylinders;
    }
    const fs::path parent = fs::absolute(place).lexically_normal().parent_path();
    const fs::path from = fs::absolute(fs::path(o.like)).lexically_normal();
    const fs::path way = from.lexically_relative(parent);
    job.like = job::Like{(way.empty() ? from : way).string(), old.job().id, ""};
}

/// A layout's error names the file that was typed, not the copy.
Layout checked_layout(const NewOptions& o, const job::Job& job) {
    return !o.layout.empty() ? parse_layout(*job.layout, o.layout) : job::layout_of(job);
}

void print_new(std::ostream& out, const NewOptions& o, const job::Job& job, const Layout& layout) {
    print_line(out, "New job in " + o.job + ".");
    const std::string engine =
        std::to_string(layout.engine.cylinders) + (layout.engine.cylinders == 1 ? " cylinder" : " cylinders");
    print_line(out, layout.typical ? "Layout: a typical front end, " + engine + ", everything unknown."
                                   : "Layout: " + layout.name + ", " + engine + " (a copy is layout.toml).");
    if (!job.worked_on.empty()) print_line(out, "Worked on before: " + listed(job.worked_on) + ".");
    if (job.like) print_line(out, "Sister engine: " + o.like + ".");
    print_card(out, job);
    print_line(out, "Next: record the engine as it came, then");
    out << "  cranknote add JOB FILE --state \"as found\"\n";
}

}  // namespace

void add_new(CLI::App& app, Streams s) {
    auto* command = app.add_subcommand("new", "Make a job: a folder for one engine and one visit");
    auto o = std::make_shared<NewOptions>();
    command->add_option("JOB", o->job, "The folder to make")->required();
    command->add_option("--layout", o->layout, "What turns on this engine: a TOML file, copied into the job");
    command->add_option("--cylinders", o->cylinders, "1 to 16: a typical front end, everything unknown")
        ->check(CLI::Range(1, 16));
    add_many(*command, "--worked-on", o->worked_on, "What was worked on before the noise came; repeats");
    command->add_option("--like", o->like, "Start from another job's layout and keep it as a sister engine");
    add_card_options(*command, o->card);
    command->callback([=] {
        job::Job job;
        choose_layout(*o, job);
        start_like(*o, o->job, job, s);
        const Layout layout = checked_layout(*o, job);
        job::enter_worked_on(job, layout, o->worked_on);
        job.when = job::now();
        apply_card(o->card, job);
        const auto folder = job::Folder::create(o->job, job, "cranknote new");
        print_new(s.out, *o, folder.job(), layout);
    });
}

}  // namespace cranknote::cli
