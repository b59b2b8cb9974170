#include "cli/description.hpp"

namespace cranknote::cli {
namespace {

OptionDescription described(const CLI::Option& o) {
    OptionDescription d;
    d.positional = o.get_positional();
    if (d.positional) {
        d.names = {o.get_name(true)};
    } else {
        for (const auto& name : o.get_snames()) d.names.push_back("-" + name);
        for (const auto& name : o.get_lnames()) d.names.push_back("--" + name);
    }
    d.text = o.get_description();
    d.takes_value = o.get_items_expected_max() > 0;
    d.needed = o.get_required();
    d.repeats = o.get_items_expected_max() > 1;
    return d;
}

CommandDescription described(const CLI::App& app, const std::string& above) {
    CommandDescription d;
    d.name = above.empty() ? app.get_name() : above + " " + app.get_name();
    d.text = app.get_description();
    for (const auto* o : app.get_options()) d.options.push_back(described(*o));
    for (const auto* c : app.get_subcommands([](const CLI::App*) { return true; }))
        d.commands.push_back(described(*c, d.name));
    return d;
}

}  // namespace

CommandDescription describe(const CLI::App& app) { return described(app, ""); }

}  // namespace cranknote::cli
