#include <memory>

#include "cli/commands.hpp"
#include "cli/layout_text.hpp"
#include "cli/read_layout.hpp"
#include "layout/layout.hpp"

namespace cranknote::cli {

namespace {

void add_check(CLI::App& layout, Streams s) {
    auto* check =
        layout.add_subcommand("check", "Check a layout file and print every ratio that follows from it");
    auto file = std::make_shared<std::string>();
    auto as_json = std::make_shared<bool>(false);
    check->add_option("FILE", *file, "The layout, a TOML file")->required();
    check->add_flag("--json", *as_json, "As JSON");
    check->callback([=] {
        const auto checked = read_layout(*file);
        *as_json ? print_layout_json(s.out, checked, *file) : print_layout(s.out, checked);
    });
}

void add_show(CLI::App& layout, Streams s) {
    auto* show =
        layout.add_subcommand("show", "Print the typical front end for a number of cylinders, to start from");
    auto cylinders = std::make_shared<int>(0);
    auto as_json = std::make_shared<bool>(false);
    show->add_option("--cylinders", *cylinders, "1 to 16")->required();
    show->add_flag("--json", *as_json, "As JSON");
    show->callback([=] {
        const auto typical = typical_layout(*cylinders);
        *as_json ? print_layout_toml_json(s.out, typical) : print_layout_toml(s.out, typical);
    });
}

}  // namespace

void add_layout(CLI::App& app, Streams s) {
    auto* layout = app.add_subcommand("layout", "Check a layout file, or show a typical one");
    layout->require_subcommand(1);
    add_check(*layout, s);
    add_show(*layout, s);
}

}  // namespace cranknote::cli
