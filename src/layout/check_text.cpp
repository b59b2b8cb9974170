#include "layout/check_layout.hpp"

namespace cranknote::layout_file {

namespace {

constexpr std::size_t longest_file = 256 * 1024;  // the largest preset has 8 kB
constexpr unsigned deepest_key = 16;

/// Walks TOML's tokens as far as telling strings and comments from the rest.
struct Walker {
    std::string_view text;
    std::size_t at = 0;

    [[nodiscard]] bool here(std::string_view what) const { return text.substr(at, what.size()) == what; }

    /// Past a string that opens here: 'a', "a", '''a''' or """a"""; an open one ends with its line or the
    /// file.
    void skip_string() {
        const char quote = text[at];
        const std::string triple(3, quote);
        const bool many_lines = here(triple);
        at += many_lines ? 3 : 1;
        while (at < text.size()) {
            if (quote == '"' && text[at] == '\\') {
                at += 2;
            } else if (many_lines ? here(triple) : text[at] == quote || text[at] == '\n') {
                at += many_lines ? 3 : text[at] == quote ? 1 : 0;
                return;
            } else {
                ++at;
            }
        }
    }
    void skip_comment() {
        while (at < text.size() && text[at] != '\n') ++at;
    }
};

}  // namespace

void check_text(const File& file) {
    if (file.text.size() > longest_file) file.fail({}, "expected a layout of at most 256 kB");
    Walker walk{file.text};
    unsigned dots = 0, line = 1;
    std::size_t counted_to = 0;
    while (walk.at < file.text.size()) {
        const char c = file.text[walk.at];
        if (c == '"' || c == '\'') {
            walk.skip_string();
        } else if (c == '#') {
            walk.skip_comment();
        } else {
            if (c == '.') ++dots;
            if (c == '\n' || c == '=' || c == ',' || c == '[' || c == ']' || c == '{' || c == '}') dots = 0;
            ++walk.at;
        }
        if (dots <= deepest_key) continue;
        for (; counted_to < walk.at; ++counted_to) line += file.text[counted_to] == '\n' ? 1 : 0;
        file.fail({line, 1}, "expected keys with fewer dots");
    }
}

}  // namespace cranknote::layout_file
