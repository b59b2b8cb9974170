#include <algorithm>
#include <memory>
#include <ostream>

#include "cli/commands.hpp"
#include "cli/parse.hpp"
#include "cli/recording_text.hpp"
#include "cli/values.hpp"
#include "cli/wrong.hpp"
#include "job/analysis.hpp"
#include "job/edit.hpp"
#include "units/error.hpp"

namespace cranknote::cli {
namespace {

struct MarkOptions {
    std::string job, finding, ratio, comes;
    std::vector<std::string> hz, when;
};

/// "f1", as findings are named in every result.
bool is_finding_id(const std::string& text) {
    return text.size() >= 2 && text.size() <= 6 && text[0] == 'f' &&
           std::all_of(text.begin() + 1, text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

std::pair<Hertz, Hertz> band_of(const std::vector<std::string>& typed) {
    const double low = parse_number(typed[0], "--hz"), high = parse_number(typed[1], "--hz");
    if (!(low >= 0 && high > low && high <= 96000)) wrong("a band is low, then high, in Hz", "--hz", "");
    return {Hertz{low}, Hertz{high}};
}

job::Complaint complaint_of(const MarkOptions& o) {
    const int ways = static_cast<int>(!o.finding.empty()) + static_cast<int>(!o.ratio.empty()) +
                     static_cast<int>(!o.hz.empty());
    if (ways > 1) wrong("one noise in two ways", "", "a finding's name, or --ratio, or --hz");
    job::Complaint c;
    if (!o.finding.empty()) {
        if (!is_finding_id(o.finding))
            wrong("\"" + o.finding + "\" is no finding's name", "FINDING", "f1, f2, ...");
        c.finding = o.finding;
    }
    if (!o.ratio.empty()) {
        c.ratio = Ratio{parse_number(o.ratio, "--ratio")};
        if (!(c.ratio->value() > 0 && c.ratio->value() <= 2000)) wrong("a ratio is above 0", "--ratio", "");
    }
    if (!o.hz.empty()) c.hz = band_of(o.hz);
    if (!o.comes.empty()) c.comes = o.comes == "always" ? job::Comes::always : job::Comes::sometimes;
    for (const auto& w : o.when) c.when.push_back(w == "load" ? "under load" : w);
    c.at = job::now();
    return c;
}

const Finding* named(const job::Analysis& a, const std::string& id) {
    for (const auto& c : a.verdict.complaints)
        if (c.finding.id == id) return &c.finding;
    return nullptr;
}

/// A finding's name holds for one result only: where it is, is what is kept. Names are those that `cranknote
/// suspects` shows, or would show if nothing had been marked.
void place(job::Complaint& complaint, const job::Folder& folder, Streams s) {
    if (!complaint.finding) return;
    ProgressLine progress(s, "working on the recordings");
    const auto report = [&](double share, const std::string&) { progress(share); };
    auto unmarked = folder.job();
    unmarked.complaints.clear();
    for (const auto& job : {folder.job(), unmarked}) {
        const auto analysis = job::analyse(folder.path(), job, report);
        const auto* f = named(analysis, *complaint.finding);
        if (!f) continue;
        if (f->character == Character::tone && f->ratio) complaint.ratio = f->ratio;
        complaint.beat_ratio = f->beat_ratio;
        complaint.hz = {f->low, f->high};
        return;
    }
    wrong("there is no finding \"" + *complaint.finding + "\"", "FINDING",
          "cranknote suspects names them; or say where it is: --ratio, --hz");
}

}  // namespace

void add_mark(CLI::App& app, Streams s) {
    auto* command = app.add_subcommand("mark", "Mark the noise to chase");
    auto o = std::make_shared<MarkOptions>();
    command->add_option("JOB", o->job, "The job's folder")->required();
    command->add_option("FINDING", o->finding, "A finding's name (f1), or");
    command->add_option("--ratio", o->ratio, "where it is per crank turn, or");
    command->add_option("--hz", o->hz, "where it is in Hz: LOW HIGH")->expected(2);
    command->add_option("--comes", o->comes, "always or sometimes")
        ->check(CLI::IsMember({"always", "sometimes"}));
    add_many(*command, "--when", o->when, "cold, warm, wet or \"under load\"; repeats");
    command->callback([=] {
        auto complaint = complaint_of(*o);
        auto folder = open_to_change(o->job, "cranknote mark", s);
        place(complaint, folder, s);
        job::Job next = folder.job();
        const int id = job::mark(next, complaint);
        const std::string text = complaint_text(complaint);
        folder.save(std::move(next), "marked complaint " + std::to_string(id) + ": " + text);
        print_line(s.out, "Complaint " + std::to_string(id) + ": " + text + ".");
    });
}

}  // namespace cranknote::cli
