#include "cli/description.hpp"

namespace cranknote::cli {
namespace {

/// Text that roff takes as it is: its signs escaped, no line that begins like a request.
std::string roff(const std::string& text) {
    std::string out;
    bool line_begins = true;
    for (const char c : text) {
        if (line_begins && (c == '.' || c == '\'')) out += "\\&";
        if (c == '\\')
            out += "\\e";
        else if (c == '-')
            out += "\\-";
        else
            out += c;
        line_begins = c == '\n';
    }
    return out;
}

std::string bold(const std::string& text) { return "\\fB" + roff(text) + "\\fR"; }
std::string slanted(const std::string& text) { return "\\fI" + roff(text) + "\\fR"; }

std::string synopsis(const CommandDescription& c) {
    std::string line = bold(c.name);
    if (!c.commands.empty()) line += " " + slanted("COMMAND");
    for (const auto& o : c.options) {
        if (!o.positional) continue;
        const std::string name = slanted(o.names.front()) + (o.repeats ? " ..." : "");
        line += " " + (o.needed ? name : "[" + name + "]");
    }
    for (const auto& o : c.options)
        if (!o.positional && o.needed) line += " " + bold(o.names.back()) + " " + slanted("VALUE");
    return line + " [" + slanted("options") + "]";
}

std::string option_text(const OptionDescription& o) {
    std::string head;
    for (const auto& name : o.names)
        head += (head.empty() ? "" : ", ") + (o.positional ? slanted(name) : bold(name));
    if (!o.positional && o.takes_value) head += " " + slanted("VALUE");
    return ".TP\n" + head + "\n" + roff(o.text) + (o.needed && !o.positional ? " (needed)" : "") + "\n";
}

std::string command_text(const CommandDescription& c) {
    std::string text = ".SS " + bold(c.name) + "\n" + roff(c.text) + "\n.PP\n" + synopsis(c) + "\n";
    for (const auto& o : c.options)
        if (o.names.back() != "--help") text += option_text(o);
    for (const auto& sub : c.commands) text += command_text(sub);
    return text;
}

}  // namespace

std::string manual_page(const CommandDescription& program, const std::string& version) {
    std::string text = ".TH CRANKNOTE 1 \"\" \"cranknote " + roff(version) + "\" \"Cranknote\"\n";
    text += ".SH NAME\ncranknote \\- " + roff(program.text) + "\n";
    text += ".SH SYNOPSIS\n" + synopsis(program) + "\n";
    text +=
        ".SH DESCRIPTION\nRecord an engine in several states, and Cranknote says which bands, tones and "
        "beats "
        "changed between them, by how much and how sure that is, which part that speaks for, and what to do "
        "next. "
        "Most commands work on a job: a folder for one engine and one visit, made by\n.BR \"cranknote new\" "
        ".\n"
        "Every option takes one value and repeats where several are meant.\n";
    text += ".SH OPTIONS\n";
    for (const auto& o : program.options) text += option_text(o);
    text += ".SH COMMANDS\n";
    for (const auto& c : program.commands) text += command_text(c);
    text +=
        ".SH EXIT STATUS\n.TP\n0\nDone, also where the answer is \"cannot tell\".\n.TP\n1\nCould not: "
        "something "
        "cannot be read or written.\n.TP\n2\nWrong call.\n.PP\nErrors are one line on standard error; then "
        "nothing "
        "is on standard output.\n";
    text +=
        ".SH SAFETY\nA running engine has belts, pulleys and a fan that take hands, sleeves and leads. Never "
        "run it "
        "with its timing drive or tensioner off, and only for seconds from cold when its water pump stands "
        "still.\n";
    return text;
}

}  // namespace cranknote::cli
