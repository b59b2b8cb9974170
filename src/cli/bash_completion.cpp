#include "cli/description.hpp"

namespace cranknote::cli {
namespace {

/// For single quotes in bash.
std::string quoted(const std::string& text) {
    std::string out = "'";
    for (const char c : text) out += c == '\'' ? std::string("'\\''") : std::string(1, c);
    return out + "'";
}

std::string entry(const std::string& key, const std::string& words) {
    return "    [" + quoted(key) + "]=" + quoted(words) + "\n";
}

std::string joined(std::string all, const std::string& word) { return (all.empty() ? "" : all + " ") + word; }

struct Tables {
    std::string commands, options, valued;
};

void add(Tables& t, const CommandDescription& c) {
    std::string commands, options, valued;
    for (const auto& sub : c.commands) commands = joined(commands, sub.name.substr(sub.name.rfind(' ') + 1));
    for (const auto& o : c.options) {
        if (o.positional) continue;
        for (const auto& name : o.names) {
            options = joined(options, name);
            if (o.takes_value) valued = joined(valued, name);
        }
    }
    t.commands += entry(c.name, commands);
    t.options += entry(c.name, options);
    t.valued += entry(c.name, valued);
    for (const auto& sub : c.commands) add(t, sub);
}

// The words so far say which command it is; a value, and what is no option, is a file's name.
constexpr const char* body = R"(
_cranknote() {
    local current=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} command=cranknote i word
    for ((i = 1; i < COMP_CWORD; ++i)); do
        word=${COMP_WORDS[i]}
        [[ " ${_cranknote_commands[$command]} " == *" $word "* ]] && command+=" $word"
    done
    COMPREPLY=()
    if [[ " ${_cranknote_valued[$command]} " == *" $before "* ]]; then
        return
    elif [[ $current == -* ]]; then
        COMPREPLY=($(compgen -W "${_cranknote_options[$command]}" -- "$current"))
    elif [[ -n ${_cranknote_commands[$command]} ]]; then
        COMPREPLY=($(compgen -W "${_cranknote_commands[$command]}" -- "$current"))
    fi
}
complete -o default -o bashdefault -F _cranknote cranknote
)";

}  // namespace

std::string bash_completion(const CommandDescription& program) {
    Tables t;
    add(t, program);
    return "# Completion of cranknote's commands and options for bash; made by: cranknote completion\n"
           "declare -gA _cranknote_commands=(\n" +
           t.commands + ")\ndeclare -gA _cranknote_options=(\n" + t.options +
           ")\ndeclare -gA _cranknote_valued=(\n" + t.valued + ")\n" + body;
}

}  // namespace cranknote::cli
