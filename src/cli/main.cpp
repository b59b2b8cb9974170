// cranknote: parse, call, print. Exit 0 done (also "cannot tell"), 1 could not, 2 wrong call.
#include <exception>
#include <iostream>
#include <new>
#include <sstream>

#include "cli/commands.hpp"
#include "figure/utf8.hpp"
#include "job/version.hpp"
#include "units/error.hpp"

namespace {

constexpr int could_not = 1;
constexpr int wrong_call = 2;

/// Errors are one line, and a file's name does not paint the terminal.
int fail(const std::string& text, int code) {
    std::cerr << "cranknote: " << cranknote::clean_line(text) << "\n";
    return code;
}

std::string version_text() {
    std::string text = "cranknote " + cranknote::program_version() + "\nwith";
    for (const auto& [name, version] : cranknote::library_versions()) text += "\n  " + name + " " + version;
    return text + "\n  CLI11 " CLI11_VERSION;
}

int run(int argc, char** argv) {
    using namespace cranknote;
    CLI::App app{"From an engine's sound to the part that makes it.", "cranknote"};
    app.require_subcommand(1);
    app.option_defaults()->multi_option_policy(CLI::MultiOptionPolicy::Throw);
    std::ostringstream out;  // kept back, so that nothing is on stdout when a command fails
    const cli::Streams streams{out, std::cerr};
    cli::add_speed(app, streams);
    cli::add_portrait(app, streams);
    cli::add_batch(app, streams);
    cli::add_compare(app, streams);
    cli::add_layout(app, streams);
    for (const auto add : {cli::add_new, cli::add_add, cli::add_states, cli::add_mark, cli::add_saw,
                           cli::add_reading, cli::add_card, cli::add_import, cli::add_pack, cli::add_unpack,
                           cli::add_undo, cli::add_verify, cli::add_suspects})
        add(app, streams);
    app.set_version_flag("--version", version_text);
    cli::add_inputs(app, streams);
    cli::add_record(app, streams);
    cli::add_listen(app, streams);
    cli::add_note(app, streams);
    cli::add_pages(app, streams);
    try {
        app.parse(argc, argv);
    } catch (const CLI::CallForHelp& e) {
        return app.exit(e, std::cout, std::cerr);
    } catch (const CLI::CallForAllHelp& e) {
        return app.exit(e, std::cout, std::cerr);
    } catch (const CLI::CallForVersion& e) {
        return app.exit(e, std::cout, std::cerr);
    } catch (const CLI::Error& e) {
        return fail(std::string(e.what()) + " (see cranknote --help)", wrong_call);
    } catch (const Error& e) {
        return fail(e.what(), e.kind == Error::Kind::wrong_call ? wrong_call : could_not);
    } catch (const std::bad_alloc&) {
        return fail("not enough memory for this", could_not);
    } catch (const std::exception& e) {
        return fail(e.what(), could_not);
    }
    std::cout << out.str() << std::flush;
    return std::cout ? 0 : fail("could not write the result", could_not);
}

}  // namespace

int main(int argc, char** argv) { return run(argc, argv); }
