// In which language and in which units a note or a card is written.
#pragma once

#include <CLI/CLI.hpp>
#include <string>

#include "note/sentences.hpp"
#include "note/units_shown.hpp"

namespace cranknote::cli {

struct LanguageOptions {
    std::string units, sentences;
};

void add_language_options(CLI::App& command, LanguageOptions& options);

/// English without a file. Throws Error for a file that cannot be read or is no table of sentences.
[[nodiscard]] Sentences sentences_of(const LanguageOptions& options);
/// Metric unless asked otherwise. Throws Error (wrong call) for a system that there is not.
[[nodiscard]] System system_of(const LanguageOptions& options);

}  // namespace cranknote::cli
