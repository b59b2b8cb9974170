#include <memory>
#include <nlohmann/json.hpp>
#include <ostream>

#include "cli/commands.hpp"
#include "cli/values.hpp"
#include "figure/utf8.hpp"
#include "job/verify.hpp"
#include "units/error.hpp"

namespace cranknote::cli {
namespace {

const char* word_of(job::Fault fault) {
    switch (fault) {
        case job::Fault::missing:
            return "missing";
        case job::Fault::changed:
            return "changed";
        case job::Fault::touched:
            return "touched";
        case job::Fault::unreadable:
            return "unreadable";
        case job::Fault::stray:
            return "stray";
        case job::Fault::damaged:
            return "damaged";
    }
    return "";
}

void print_json(std::ostream& out, const std::string& path, const job::Verified& v) {
    nlohmann::ordered_json j = {{"schema", 1},
                                {"job", path},
                                {"whole", v.whole},
                                {"files", v.files},
                                {"versions", v.versions},
                                {"troubles", nlohmann::ordered_json::array()}};
    for (const auto& t : v.troubles)
        j["troubles"].push_back({{"fault", word_of(t.fault)}, {"file", t.file}, {"text", t.text}});
    out << j.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) << "\n";
}

std::string counted(std::size_t n, const char* one, const char* many) {
    return std::to_string(n) + " " + (n == 1 ? one : many);
}

void print_words(const job::Verified& v, Streams s) {
    for (const auto& t : v.troubles) print_line(s.out, t.file + ": " + t.text + ".");
    print_line(s.out,
               "The job is whole: " + counted(static_cast<std::size_t>(v.files), "original", "originals") +
                   " checked by hash, " +
                   counted(static_cast<std::size_t>(v.versions), "earlier version", "earlier versions") +
                   " can be read.");
}

/// A line for each trouble on standard error, and exit 1: a script must not take this job for good evidence.
[[noreturn]] void refuse(const std::string& path, const job::Verified& v, Streams s) {
    for (const auto& t : v.troubles) s.err << "cranknote: " << clean_line(t.file + ": " + t.text) << "\n";
    throw Error("the job is not whole: " + counted(v.troubles.size(), "trouble", "troubles") + ", " +
                    counted(static_cast<std::size_t>(v.files), "original", "originals") + " checked",
                path, "");
}

}  // namespace

void add_verify(CLI::App& app, Streams s) {
    struct VerifyOptions {
        std::string job;
        bool json = false;
    };
    auto* command =
        app.add_subcommand("verify", "Check that a job is whole: every original by its hash, every version");
    auto o = std::make_shared<VerifyOptions>();
    command->add_option("JOB", o->job, "The job's folder")->required();
    command->add_flag("--json", o->json, "As JSON; exit 0 also where it says that the job is not whole");
    command->callback([=] {
        ProgressLine progress(s, "checking");
        const auto v = job::verify(o->job, std::ref(progress));
        if (!v) return;
        if (o->json) return print_json(s.out, o->job, *v);
        if (!v->whole) refuse(o->job, *v, s);
        print_words(*v, s);
    });
}

}  // namespace cranknote::cli
