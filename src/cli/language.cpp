#include "cli/language.hpp"

#include "job/disk.hpp"
#include "units/error.hpp"

namespace cranknote::cli {

namespace {

constexpr std::uint64_t longest_table = 1u << 20;  // bytes of a translation

}  // namespace

void add_language_options(CLI::App& command, LanguageOptions& o) {
    command.add_option("--units", o.units, "metric or us");
    command.add_option("--sentences", o.sentences,
                       "Another language: a table of sentences as `note --list-sentences` prints it");
}

Sentences sentences_of(const LanguageOptions& o) {
    if (o.sentences.empty()) return {};
    return Sentences::parse(job::read_file(o.sentences, longest_table), o.sentences);
}

System system_of(const LanguageOptions& o) {
    if (o.units.empty() || o.units == "metric") return System::metric;
    if (o.units == "us") return System::us;
    throw Error("units are metric or us", "--units", "", Error::Kind::wrong_call);
}

}  // namespace cranknote::cli
