// cranknote import: a phone's folder or a card looked through, and added to a job only when told.
#include <unistd.h>

#include <filesystem>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>
#include <ostream>

#include "cli/commands.hpp"
#include "cli/import_questions.hpp"
#include "cli/recording_text.hpp"
#include "cli/values.hpp"
#include "figure/number_text.hpp"
#include "figure/utf8.hpp"
#include "job/add.hpp"
#include "job/evidence.hpp"
#include "job/import.hpp"
#include "note/names.hpp"
#include "note/words.hpp"
#include "units/error.hpp"

namespace cranknote::cli {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

struct ImportOptions {
    std::vector<std::string> places;  ///< FOLDER, or JOB FOLDER
    bool yes = false, json = false;
};

/// What one run of the command has in hand.
struct Import {
    std::string job, folder;  ///< `job` is empty where only a folder was given
    job::Found found;
    std::vector<job::Suggestion> suggestions;
    std::vector<std::string> added;     ///< a recording's id for each suggestion; empty: not added
    std::vector<std::string> troubles;  ///< why a wanted one was not added
};

std::string length_text(const std::optional<Seconds>& d) { return d ? seconds_text(*d) : "?"; }

std::string name_in(const fs::path& file, const std::string& folder) {
    return file.lexically_relative(folder).string();
}

std::string suggestion_text(const job::Suggestion& s) {
    const auto& a = s.addition;
    if (a.state.empty()) return "not for adding: " + s.why_not;
    std::string text = "state \"" + a.state + "\"";
    if (!a.off.empty()) text += ", off: " + listed(a.off);
    if (!a.with.empty()) text += ", with: " + listed(a.with);
    if (a.repaired) text += ", repaired";
    if (a.recording.coolant)
        text += std::get<job::Warmth>(*a.recording.coolant) == job::Warmth::cold ? ", cold" : ", warm";
    return s.why_not.empty() ? text : text + "? " + s.why_not;
}

void print_found(std::ostream& out, const Import& in, std::size_t i) {
    const auto& f = in.found.sounds[i];
    const std::string time = job::to_local(f.began) + (f.time_from_container ? "  " : "~ ");
    const std::string length = length_text(f.duration);
    std::string head = std::to_string(i + 1) + ". " + time +
                       std::string(length.size() < 9 ? 9 - length.size() : 0, ' ') + length + "  " +
                       clean_line(name_in(f.file, in.folder));
    out << head << "\n";
    print_line(out, suggestion_text(in.suggestions[i]) + ".", "   ");
    for (const auto& q : f.quality)
        if (q.severity != Severity::note) print_line(out, q.text, "   ");
}

void print_table(std::ostream& out, const Import& in) {
    for (std::size_t i = 0; i < in.found.sounds.size(); ++i) print_found(out, in, i);
    const bool any_guessed =
        std::ranges::any_of(in.found.sounds, [](const auto& f) { return !f.time_from_container; });
    if (any_guessed) print_line(out, "~ by the file's time of change; the others by what the phone wrote.");
    if (in.found.sounds.empty()) print_line(out, "No sound in " + in.folder + ".");
    if (in.found.others > 0)
        print_line(out, std::to_string(in.found.others) +
                            (in.found.others == 1 ? " other file is" : " other files are") + " no sound.");
    if (!in.found.all)
        print_line(out, "More than " + std::to_string(job::most_files_looked_at) +
                            " files are there; the rest was not looked at. Name a folder below.");
}

std::size_t wanted(const Import& in) {
    return static_cast<std::size_t>(
        std::ranges::count_if(in.suggestions, [](const auto& s) { return s.why_not.empty(); }));
}

void add_wanted(Import& in, Streams s) {
    auto folder = open_to_change(in.job, "cranknote import", s);
    const Layout layout = job::layout_of(folder.job());
    for (std::size_t i = 0; i < in.suggestions.size(); ++i) {
        if (!in.suggestions[i].why_not.empty()) continue;
        const auto& file = in.found.sounds[i].file;
        try {
            ProgressLine progress(s, "copying");
            if (const auto added =
                    job::add_file(folder, layout, file, in.suggestions[i].addition, std::ref(progress)))
                in.added[i] = added->recording.id;
        } catch (const Error& e) {
            if (e.kind != Error::Kind::wrong_call) throw;  // a full disk is no matter of this one file
            in.troubles.push_back(name_in(file, in.folder) + " was not added: " + e.what());
        }
    }
}

Json json_of(const job::Suggestion& s) {
    const auto& a = s.addition;
    if (a.state.empty()) return nullptr;
    Json j{{"state", a.state}, {"off", a.off}, {"with", a.with}, {"repaired", a.repaired}};
    j["coolant"] =
        a.recording.coolant
            ? Json(std::get<job::Warmth>(*a.recording.coolant) == job::Warmth::cold ? "cold" : "warm")
            : Json(nullptr);
    return j;
}

Json json_of(const Import& in, std::size_t i) {
    const auto& f = in.found.sounds[i];
    const auto& s = in.suggestions[i];
    const auto text_or_null = [](const std::string& text) {
        return text.empty() ? Json(nullptr) : Json(text);
    };
    Json j{{"file", name_in(f.file, in.folder)},
           {"trouble", text_or_null(f.trouble)},
           {"began", job::to_iso(f.began)},
           {"began_from", f.time_from_container ? "container" : "file"},
           {"duration_s", f.duration ? Json(f.duration->value()) : Json(nullptr)},
           {"usable", f.usable},
           {"voice_message", f.voice_message},
           {"same_as", text_or_null(f.same_as)},
           {"quality", Json::array()}};
    for (const auto& q : f.quality)
        j["quality"].push_back({{"code", name_of(q.code)},
                                {"severity", name_of(q.severity)},
                                {"text", q.text},
                                {"hz", q.hz ? Json(q.hz->value()) : Json(nullptr)}});
    j["suggested"] = json_of(s);
    j["why_not"] = text_or_null(s.why_not);
    j["added"] = text_or_null(in.added[i]);
    return j;
}

void print_json(std::ostream& out, const Import& in) {
    Json j{{"schema", 1},
           {"folder", in.folder},
           {"job", in.job.empty() ? Json(nullptr) : Json(in.job)},
           {"files", Json::array()},
           {"others", in.found.others},
           {"all", in.found.all}};
    for (std::size_t i = 0; i < in.found.sounds.size(); ++i) j["files"].push_back(json_of(in, i));
    j["troubles"] = in.troubles;
    out << j.dump(2, ' ', false, Json::error_handler_t::replace) << "\n";
}

/// Adds, where it was said so: by --yes, or by answers on a terminal.
void add_if_told(const ImportOptions& o, Import& in, Streams s) {
    const bool can_ask = !o.json && ::isatty(STDIN_FILENO) == 1 && ::isatty(STDOUT_FILENO) == 1;
    if (in.job.empty() || in.found.sounds.empty()) return;
    if (!o.yes && can_ask) {
        print_table(std::cout, in);  // before the questions, not behind them
        if (!ask_about(in.found, in.suggestions, std::cin, std::cout)) return;
    }
    if (o.yes || can_ask) add_wanted(in, s);
}

void print_words(const ImportOptions& o, const Import& in, Streams s) {
    const bool asked =
        !o.yes && !in.job.empty() && ::isatty(STDIN_FILENO) == 1 && ::isatty(STDOUT_FILENO) == 1;
    if (!asked) print_table(s.out, in);
    for (std::size_t i = 0; i < in.added.size(); ++i)
        if (!in.added[i].empty())
            print_line(s.out, "Added " + std::to_string(i + 1) + " as " + in.added[i] + ".");
    for (const auto& trouble : in.troubles) print_line(s.out, trouble);
    const bool any = std::ranges::any_of(in.added, [](const auto& id) { return !id.empty(); });
    if (any || o.yes || in.found.sounds.empty()) return;
    print_line(s.out, "Nothing was added.");
    if (in.job.empty()) print_line(s.out, "To add: cranknote import JOB FOLDER");
    if (!in.job.empty() && wanted(in) > 0)
        print_line(s.out, "With --yes " + std::to_string(wanted(in)) + " of " +
                              std::to_string(in.found.sounds.size()) +
                              " would be; any other by cranknote add.");
}

void run(const ImportOptions& o, Streams s) {
    if (o.places.size() > 2)
        throw Error("too many places", "import", "a folder, or a job and a folder", Error::Kind::wrong_call);
    Import in;
    in.folder = o.places.back();
    if (o.places.size() == 2) in.job = o.places.front();
    if (o.yes && in.job.empty())
        throw Error("into which job?", "--yes", "cranknote import JOB FOLDER --yes", Error::Kind::wrong_call);
    std::optional<job::Job> job;
    std::optional<Layout> layout;
    if (!in.job.empty()) {
        job = open_to_read(in.job, s).job();
        layout = job::layout_of(*job);
    }
    const auto* known_job = job ? &*job : nullptr;
    const auto* known_layout = layout ? &*layout : nullptr;
    {
        ProgressLine progress(s, "listening");
        in.found =
            job::look_through(in.folder, known_job, known_layout, std::ref(progress)).value_or(job::Found{});
    }
    in.suggestions = job::suggest_states(in.found, known_job, known_layout);
    in.added.resize(in.suggestions.size());
    add_if_told(o, in, s);
    if (o.json)
        print_json(s.out, in);
    else
        print_words(o, in, s);
}

}  // namespace

void add_import(CLI::App& app, Streams s) {
    auto* command = app.add_subcommand(
        "import", "Look through a phone's folder or a card: what is usable, and of which state it may be");
    auto o = std::make_shared<ImportOptions>();
    command->add_option("PLACES", o->places, "FOLDER to look only; JOB FOLDER to add to a job")
        ->required()
        ->expected(1, 2);
    command->add_flag("--yes", o->yes,
                      "Add what is suggested without asking; without it nothing is added unasked");
    command->add_flag("--json", o->json, "As JSON");
    command->callback([=] { run(*o, s); });
}

}  // namespace cranknote::cli
