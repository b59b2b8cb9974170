// The card of a job: whose engine, which, when, by whom. Options that `new` and `card` share.
#pragma once

#include <CLI/CLI.hpp>
#include <iosfwd>
#include <string>

#include "job/job.hpp"

namespace cranknote::cli {

/// The card's fields as typed; empty: not given.
struct CardOptions {
    std::string title, vehicle, registration, mileage, engine_code, job_card, owner, who, date;
};

void add_card_options(CLI::App& app, CardOptions& card);
/// Puts what was given into the job. True if anything was.
bool apply_card(const CardOptions& card, job::Job& job);
/// A line for each field that is known.
void print_card(std::ostream& out, const job::Job& job);

}  // namespace cranknote::cli
