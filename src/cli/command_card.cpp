#include <memory>
#include <optional>
#include <ostream>

#include "cli/commands.hpp"
#include "cli/job_card.hpp"
#include "cli/language.hpp"
#include "cli/read_layout.hpp"
#include "cli/values.hpp"
#include "cli/write_leaves.hpp"
#include "job/evidence.hpp"
#include "note/card.hpp"
#include "note/pdf.hpp"
#include "units/error.hpp"

namespace cranknote::cli {
namespace {

struct CardCall {
    std::string job, layout, out, name;
    std::optional<int> cylinders;
    CardOptions card;
    LanguageOptions language;
    bool pdf = false, letter = false, replace = false;
};

/// The shop's card, or one with an engine's own names: of a layout, or of a job.
void write_pdf(const CardCall& o, Streams s) {
    const LeafPlace place{o.out.empty() ? "." : o.out, "recording-card", o.name, o.replace};
    check_place(place);
    const auto say = sentences_of(o.language);
    const auto system = system_of(o.language);
    auto layout = layout_of(o.layout, o.cylinders);
    if (!o.job.empty()) {
        if (layout)
            throw Error("a job has its layout", "card", "leave --layout and --cylinders out",
                        Error::Kind::wrong_call);
        layout = job::layout_of(open_to_read(o.job, s).job());
    }
    const auto document = layout ? layout_card(*layout, say, system) : recording_card(say, system);
    const auto bytes = pdf_of(document, o.letter ? Paper::letter : Paper::a4);
    for (const auto& file : write_leaves(place, {{".pdf", bytes}})) print_line(s.out, file.string());
}

void show_or_fill(const CardCall& o, Streams s) {
    if (o.job.empty())
        throw Error("which card?", "card", "name a job, or say --pdf for one to print",
                    Error::Kind::wrong_call);
    job::Job trial;
    if (!apply_card(o.card, trial)) return print_card(s.out, open_to_read(o.job, s).job());
    auto folder = open_to_change(o.job, "cranknote card", s);
    job::Job next = folder.job();
    apply_card(o.card, next);
    folder.save(std::move(next), "filled in the card");
    print_card(s.out, folder.job());
}

}  // namespace

void add_card(CLI::App& app, Streams s) {
    auto* card = app.add_subcommand(
        "card", "Show a job's card, or fill it in; with --pdf a recording card to print and hang up");
    auto o = std::make_shared<CardCall>();
    card->add_option("JOB", o->job, "The job's folder");
    add_card_options(*card, o->card);
    card->add_flag("--pdf", o->pdf, "How to record, one page; with a layout or a job its own names to tick");
    card->add_option("--layout", o->layout, "The engine's layout, a TOML file");
    card->add_option("--cylinders", o->cylinders, "Cylinders, 1 to 16: a typical front end is used");
    card->add_flag("--letter", o->letter, "On US Letter instead of A4");
    add_language_options(*card, o->language);
    card->add_option("--out", o->out, "Folder to write into; without it the current one");
    card->add_option("--name", o->name, "What the file is called, without its ending");
    card->add_flag("--replace", o->replace, "Write over a file of that name");
    card->callback([=] { o->pdf ? write_pdf(*o, s) : show_or_fill(*o, s); });
}

}  // namespace cranknote::cli
