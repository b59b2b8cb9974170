// cranknote pack, cranknote unpack: a job as one file for a colleague, and back.
#include <filesystem>
#include <memory>
#include <ostream>

#include "cli/commands.hpp"
#include "cli/values.hpp"
#include "figure/number_text.hpp"
#include "job/pack.hpp"
#include "units/error.hpp"

namespace cranknote::cli {
namespace {

namespace fs = std::filesystem;

struct PackOptions {
    std::string job, file;
    job::Packing how;
};

struct UnpackOptions {
    std::string file, job;
};

/// "3.2 MB"
std::string size_text(std::uint64_t bytes) {
    const double megabytes = static_cast<double>(bytes) / 1e6;
    return (megabytes < 0.1 ? "less than 0.1" : number_text(megabytes, 1)) + "\u00a0MB";
}

std::string counted(int n, const char* one, const char* many) {
    return std::to_string(n) + " " + (n == 1 ? one : many);
}

fs::path place_for_pack(const PackOptions& o) {
    if (o.file.empty()) {
        const fs::path job = fs::absolute(o.job).lexically_normal();
        return (job.has_filename() ? job : job.parent_path()).filename().string() + ".zip";
    }
    if (fs::path(o.file).extension() != ".zip")
        throw Error("a name that ends in .zip is wanted", o.file, "so that any machine opens it",
                    Error::Kind::wrong_call);
    return o.file;
}

void run_pack(const PackOptions& o, Streams s) {
    const auto file = place_for_pack(o);
    const auto folder = open_to_read(o.job, s);
    ProgressLine progress(s, "packing");
    const auto packed = job::pack(folder, file, o.how, std::ref(progress));
    if (!packed) return;
    print_line(s.out, "Packed " + counted(packed->files, "file", "files") + ", " + size_text(packed->bytes) +
                          ", into " + file.string() + ". A colleague opens it with cranknote unpack.");
    if (!o.how.without_owner) return;
    print_line(
        s.out,
        "Left out: title, vehicle, registration, mileage, job card, owner, who, names of files, notes, "
        "earlier versions.");
    print_line(
        s.out,
        "Still in it: what was typed about states, recordings and findings, and the sound files as they "
        "were made: voices, and what a phone wrote into them (time, perhaps place and pictures).");
}

void run_unpack(const UnpackOptions& o, Streams s) {
    const fs::path job = o.job.empty() ? fs::path(o.file).filename().stem() : fs::path(o.job);
    if (job == fs::path(o.file).filename())
        throw Error("what shall the folder be called?", o.file, "say a name behind the file's",
                    Error::Kind::wrong_call);
    ProgressLine progress(s, "unpacking");
    const auto unpacked = job::unpack(o.file, job, std::ref(progress));
    if (!unpacked) return;
    for (const auto& remark : unpacked->remarks) print_line(s.err, "cranknote: " + remark);
    print_line(s.out, "Unpacked " + counted(unpacked->files, "file", "files") + " into " + job.string() +
                          "; " + counted(unpacked->originals, "original", "originals") + " checked by hash.");
    print_line(s.out, "Next: cranknote states \"" + job.string() + "\"");
}

}  // namespace

void add_pack(CLI::App& app, Streams s) {
    auto* command =
        app.add_subcommand("pack", "Pack a job into one file to send: a .zip that any machine opens");
    auto o = std::make_shared<PackOptions>();
    command->add_option("JOB", o->job, "The job's folder")->required();
    command->add_option("FILE", o->file, "The file to make; left out: the job's name and .zip, here");
    command->add_flag("--without-owner", o->how.without_owner,
                      "Leave out vehicle, registration, owner, who, job card, notes and earlier versions");
    command->add_flag("--replace", o->how.replace, "Write over a file of that name");
    command->callback([=] { run_pack(*o, s); });
}

void add_unpack(CLI::App& app, Streams s) {
    auto* command = app.add_subcommand("unpack", "Unpack a job that was sent, and check that it is whole");
    auto o = std::make_shared<UnpackOptions>();
    command->add_option("FILE", o->file, "The packed job, a .zip")->required();
    command->add_option("JOB", o->job, "The folder to make; left out: the file's name without .zip, here");
    command->callback([=] { run_unpack(*o, s); });
}

}  // namespace cranknote::cli
