// The manual page and the shell's completion hold every command and option that the program's help does.
#include <cstdlib>
#include <regex>
#include <set>

#include "cli/garage.hpp"

namespace {

using namespace cranknote::test;

std::set<std::string> found(const std::string& text, const std::string& pattern) {
    std::set<std::string> all;
    const std::regex expression(pattern);
    for (auto i = std::sregex_iterator(text.begin(), text.end(), expression); i != std::sregex_iterator();
         ++i)
        all.insert((*i)[1]);
    return all;
}

/// The commands that a help text lists: two spaces, a name, behind "Subcommands:".
std::set<std::string> commands_in(const std::string& help) {
    const auto at = help.find("Subcommands:");
    return at == help.npos ? std::set<std::string>{} : found(help.substr(at), "\n  ([a-z-]+)");
}

std::string joined(const std::set<std::string>& words) {
    std::string text;
    for (const auto& word : words) text += word + "\n";
    return text;
}

/// What the completion offers behind these words.
std::set<std::string> offered(const Garage& garage, const std::string& words) {
    garage.folder().put("ask.sh", "source completion.bash; COMP_WORDS=(" + words +
                                      "); COMP_CWORD=$((${#COMP_WORDS[@]} - 1)); _cranknote; printf '%s\\n' "
                                      "\"${COMPREPLY[@]}\" > offered");
    const auto command = "cd '" + garage.folder().path().string() + "' && bash ask.sh";
    REQUIRE(std::system(command.c_str()) == 0);
    return found(text_of(garage.folder() / "offered"), "([^\n]+)");
}

}  // namespace

TEST_CASE("every command and option is in the manual and in the completion") {
    const Garage garage;
    const auto manual = garage.done({"manual"});
    garage.folder().put("completion.bash", garage.done({"completion"}));
    const auto commands = commands_in(garage.done({"--help"}));
    CHECK(commands.size() >= 20);
    CHECK(joined(offered(garage, "cranknote ''")) == joined(commands));
    std::set<std::pair<std::string, std::vector<std::string>>> all;
    for (const auto& command : commands) {
        all.insert({command, {command}});
        for (const auto& below : commands_in(garage.done({command, "--help"})))
            all.insert({command + " " + below, {command, below}});
    }
    for (const auto& [words, call] : all) {
        INFO(words);
        auto help_call = call;
        help_call.emplace_back("--help");
        // At the beginning of a line: a help may speak of another command's options.
        const auto options = found(garage.done(help_call), "\\n +(?:-[A-Za-z],)?(--[a-z][a-z-]*)");
        CHECK(options.contains("--help"));
        CHECK(manual.find(".SS \\fBcranknote " + std::regex_replace(words, std::regex("-"), "\\-") +
                          "\\fR") != manual.npos);
        auto completed = offered(garage, "cranknote " + words + " -");
        completed.erase("-h");
        CHECK(joined(completed) == joined(options));
        const auto at = manual.find(".SS \\fBcranknote " + words + "\\fR");
        const auto section = manual.substr(at, manual.find(".SS ", at + 1) - at);
        for (const auto& option : options)
            if (option != "--help")
                CHECK(section.find("\\fB" + std::regex_replace(option, std::regex("-"), "\\-") + "\\fR") !=
                      section.npos);
    }
    // A word that is begun is ended; a value is a file's name.
    CHECK(joined(offered(garage, "cranknote sus")) == "suspects\n");
    CHECK(offered(garage, "cranknote add job a.wav --note ''").empty());
    CHECK(joined(offered(garage, "cranknote layout ''")) ==
          joined(commands_in(garage.done({"layout", "--help"}))));
}

TEST_CASE("the manual page is what man takes") {
    if (std::system("command -v man >/dev/null && command -v groff >/dev/null") != 0) {
        WARN("man or groff is not installed: the page is not read by it");
        return;
    }
    const Garage garage;
    garage.folder().put("cranknote.1", garage.done({"manual"}));
    const auto command = "cd '" + garage.folder().path().string() +
                         "' && LC_ALL=C.UTF-8 MANWIDTH=80 man --warnings -l cranknote.1 >page 2>warnings";
    CHECK(std::system(command.c_str()) == 0);
    CHECK(text_of(garage.folder() / "warnings").empty());
    CHECK(says(text_of(garage.folder() / "page"), "cranknote layout check"));
}
