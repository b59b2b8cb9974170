#include <memory>
#include <ostream>

#include "cli/commands.hpp"
#include "cli/job_card.hpp"
#include "cli/values.hpp"

namespace cranknote::cli {

void add_card(CLI::App& app, Streams s) {
    struct Options {
        std::string job;
        CardOptions card;
    };
    auto* card = app.add_subcommand("card", "Show a job's card, or fill it in");
    auto o = std::make_shared<Options>();
    card->add_option("JOB", o->job, "The job's folder")->required();
    add_card_options(*card, o->card);
    card->callback([=] {
        job::Job trial;
        if (!apply_card(o->card, trial)) return print_card(s.out, open_to_read(o->job, s).job());
        auto folder = open_to_change(o->job, "cranknote card", s);
        job::Job next = folder.job();
        apply_card(o->card, next);
        folder.save(std::move(next), "filled in the card");
        print_card(s.out, folder.job());
    });
}

}  // namespace cranknote::cli
