#include "cli/job_card.hpp"

#include <array>
#include <ostream>
#include <utility>

#include "cli/values.hpp"

namespace cranknote::cli {
namespace {

/// One text field of the card: its option, what it is, where it is typed and where it is kept.
struct CardField {
    const char* option;
    const char* label;
    const char* description;
    std::string CardOptions::*typed;
    std::optional<std::string> job::Job::*kept;
};

constexpr std::array<CardField, 8> fields{{
    {"--title", "Title", "A few words for the job", &CardOptions::title, &job::Job::title},
    {"--vehicle", "Vehicle", "The vehicle, in words", &CardOptions::vehicle, &job::Job::vehicle},
    {"--registration", "Registration", "Its registration", &CardOptions::registration,
     &job::Job::registration},
    {"--mileage", "Mileage", "As read, with its unit: \"123456 km\"", &CardOptions::mileage,
     &job::Job::mileage},
    {"--engine-code", "Engine code", "As stamped or in the papers", &CardOptions::engine_code,
     &job::Job::engine_code},
    {"--job-card", "Job card", "The job card's number", &CardOptions::job_card, &job::Job::job_card},
    {"--owner", "Owner", "Whose it is", &CardOptions::owner, &job::Job::owner},
    {"--who", "Done by", "Who works on it", &CardOptions::who, &job::Job::who},
}};

}  // namespace

void add_card_options(CLI::App& app, CardOptions& card) {
    for (const auto& f : fields) app.add_option(f.option, card.*f.typed, f.description);
    app.add_option("--date", card.date, "When: 2026-03-01, or with a time");
}

bool apply_card(const CardOptions& card, job::Job& job) {
    bool any = false;
    for (const auto& f : fields) {
        if ((card.*f.typed).empty()) continue;
        job.*f.kept = parse_words(card.*f.typed, f.option);
        any = true;
    }
    if (const auto when = if_given(card.date, "--date", parse_when)) {
        job.when = when;
        any = true;
    }
    return any;
}

void print_card(std::ostream& out, const job::Job& job) {
    for (const auto& f : fields)
        if (job.*f.kept) print_line(out, std::string(f.label) + ": " + *(job.*f.kept));
    if (job.when) print_line(out, "Date: " + job::to_local(*job.when));
}

}  // namespace cranknote::cli
