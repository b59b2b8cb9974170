#include <memory>
#include <nlohmann/json.hpp>
#include <ostream>

#include "cli/commands.hpp"
#include "cli/job_card.hpp"
#include "cli/recording_text.hpp"
#include "cli/values.hpp"
#include "job/evidence.hpp"
#include "job/json.hpp"
#include "job/verify.hpp"

namespace cranknote::cli {
namespace {

/// job.json as it is, with what follows from the layout and what a glance at the files says.
nlohmann::ordered_json json_of(const std::string& path, const job::Job& job, const job::Evidence& evidence,
                               const std::vector<job::Trouble>& troubles) {
    nlohmann::ordered_json j = {{"schema", 1}, {"job", path}};
    const auto kept = nlohmann::ordered_json::parse(job::to_json(job));
    for (const auto& [key, value] : kept.items())
        if (!j.contains(key)) j[key] = value;
    for (std::size_t i = 0; i < evidence.states.size(); ++i) {
        j["states"][i]["still"] = evidence.states[i].still;
        j["states"][i]["repaired"] = evidence.states[i].repaired;
    }
    for (std::size_t i = 0; i < job.readings.size(); ++i) {
        const auto on = job::on_target(job.readings[i]);
        j["readings"][i]["on_target"] = on ? nlohmann::ordered_json(*on) : nlohmann::ordered_json(nullptr);
    }
    j["troubles"] = nlohmann::ordered_json::array();
    for (const auto& t : troubles) j["troubles"].push_back({{"file", t.file}, {"text", t.text}});
    return j;
}

void print_state(std::ostream& out, const job::Job& job, std::size_t i, const cranknote::State& state) {
    print_line(out, std::to_string(i + 1) + ". " + state.name + (job.states[i].repaired ? ", repaired" : "") +
                        (state.repaired_what.empty() ? "" : ": " + state.repaired_what));
    if (!state.off.empty()) print_line(out, "off: " + listed(state.off), "   ");
    if (!state.still.empty()) print_line(out, "standing still: " + listed(state.still), "   ");
    if (!state.with.empty()) print_line(out, "with: " + listed(state.with), "   ");
    for (const auto& r : job.recordings) {
        if (r.state != state.name) continue;
        const auto conditions = conditions_text(r);
        print_line(out, r.id + " " + r.file + (conditions.empty() ? "" : ": " + conditions), "   ");
    }
}

void print_rest(std::ostream& out, const job::Job& job) {
    if (!job.worked_on.empty()) print_line(out, "Worked on before: " + listed(job.worked_on));
    for (const auto& c : job.complaints)
        print_line(out, "Complaint " + std::to_string(c.id) + ": " + complaint_text(c));
    for (const auto& v : job.saw)
        print_line(out, "Seen on " + v.on + " (" + (v.speaks_for ? "for" : "against") + "): " + v.text);
    for (const auto& r : job.readings) print_line(out, "Reading: " + reading_text(r));
    print_line(out, "Last change: " + job.change + (job.saved ? ", " + job::to_local(*job.saved) : ""));
}

}  // namespace

void add_states(CLI::App& app, Streams s) {
    struct StatesOptions {
        std::string job;
        bool json = false;
    };
    auto* command = app.add_subcommand("states", "Show a job: its states in order of time, their recordings");
    auto o = std::make_shared<StatesOptions>();
    command->add_option("JOB", o->job, "The job's folder")->required();
    command->add_flag("--json", o->json, "As JSON");
    command->callback([=] {
        const auto folder = open_to_read(o->job, s);
        const auto& job = folder.job();
        const auto evidence = job::evidence_of(o->job, job);
        const auto troubles = job::glance(o->job, job);
        if (o->json) {
            s.out << json_of(o->job, job, evidence, troubles)
                         .dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace)
                  << "\n";
            return;
        }
        print_card(s.out, job);
        if (job.states.empty()) print_line(s.out, "No recordings yet: cranknote add");
        for (std::size_t i = 0; i < job.states.size(); ++i) print_state(s.out, job, i, evidence.states[i]);
        print_rest(s.out, job);
        for (const auto& t : troubles) print_line(s.out, "Look: " + t.file + ": " + t.text);
    });
}

}  // namespace cranknote::cli
