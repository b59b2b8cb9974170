#include <memory>
#include <ostream>

#include "cli/commands.hpp"
#include "cli/job_words.hpp"
#include "cli/values.hpp"
#include "job/analysis.hpp"
#include "note/job_json.hpp"

namespace cranknote::cli {

void add_suspects(CLI::App& app, Streams s) {
    struct SuspectsOptions {
        std::string job;
        bool json = false;
    };
    auto* command =
        app.add_subcommand("suspects", "Which causes are left in a job, on what evidence, what next");
    auto o = std::make_shared<SuspectsOptions>();
    command->add_option("JOB", o->job, "The job's folder")->required();
    command->add_flag("--json", o->json, "As JSON");
    command->callback([=] {
        const auto folder = open_to_read(o->job, s);
        ProgressLine progress(s, "working on the recordings");
        const auto analysis =
            job::analyse(o->job, folder.job(), [&](double share, const std::string&) { progress(share); });
        if (o->json)
            s.out << text_of(
                suspects_json(o->job, analysis.evidence.states, analysis.verdict, analysis.remarks));
        else
            print_suspects(s.out, analysis);
    });
}

}  // namespace cranknote::cli
