#include "note/sentences.hpp"

#include <toml++/toml.h>

#include <algorithm>
#include <set>

#include "note/phrases.hpp"
#include "note/sentences_english.hpp"
#include "units/error.hpp"

namespace cranknote {

namespace {

constexpr std::string_view found_table = "found";  // where a translation has the phrases

/// The names in {braces}.
std::set<std::string_view> places(std::string_view text) {
    std::set<std::string_view> found;
    while (true) {
        const auto open = text.find('{');
        const auto close = text.find('}', std::min(open, text.size()));
        if (close == std::string_view::npos) return found;
        found.insert(text.substr(open + 1, close - open - 1));
        text.remove_prefix(close + 1);
    }
}

std::string place_in(std::string_view source, const toml::node& node) {
    return std::string(source) + ":" + std::to_string(node.source().begin.line);
}

/// The translated text of one row, checked against the English one.
std::string translated(std::string_view name, std::string_view english, const toml::node& node,
                       std::string_view source) {
    const auto text = node.value<std::string>();
    if (!text) throw Error("\"" + std::string(name) + "\" is not text", place_in(source, node), "");
    const auto known = places(english);
    for (const auto place : places(*text))
        if (!known.count(place))
            throw Error("\"" + std::string(name) + "\" has no {" + std::string(place) + "}",
                        place_in(source, node), "English: " + std::string(english));
    return *text;
}

/// Texts of `table` that `rows` name, put where they belong.
template <class Rows>
void read_rows(const toml::table& table, const Rows& rows, std::vector<std::string>& texts,
               std::string_view source) {
    for (const auto& [key, node] : table) {
        if (node.is_table()) continue;
        const auto row =
            std::find_if(rows.begin(), rows.end(), [&k = key](const auto& r) { return r.name == k.str(); });
        if (row == rows.end())
            throw Error("no sentence is called \"" + std::string(key.str()) + "\"", place_in(source, node),
                        "");
        texts[static_cast<std::size_t>(row - rows.begin())] =
            translated(row->name, row->english, node, source);
    }
}

template <class Rows>
std::string toml_of(const Rows& rows, const std::vector<std::string>& texts) {
    std::string out;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        std::string quoted;
        for (const char c : texts[i]) {
            if (c == '"' || c == '\\') quoted += '\\';
            quoted += c;
        }
        out += std::string(rows[i].name) + " = \"" + quoted + "\"\n";
    }
    return out;
}

template <class Arguments>
std::string filled_with(std::string_view text, const Arguments& arguments) {
    std::string out;
    while (!text.empty()) {
        const auto open = text.find('{');
        const auto close = text.find('}', std::min(open, text.size()));
        if (close == std::string_view::npos) break;
        const auto name = text.substr(open + 1, close - open - 1);
        const auto value =
            std::find_if(arguments.begin(), arguments.end(), [&](const auto& a) { return a.first == name; });
        out += text.substr(0, open);
        out +=
            value != arguments.end() ? std::string_view(value->second) : text.substr(open, close - open + 1);
        text.remove_prefix(close + 1);
    }
    return out += text;
}

/// "a, b and c" as a list.
std::vector<std::string> list_from(std::string_view text) {
    std::vector<std::string> items;
    const auto last = text.rfind(" and ");
    auto rest = text.substr(0, last);
    for (auto comma = rest.find(", "); comma != std::string_view::npos; comma = rest.find(", ")) {
        items.emplace_back(rest.substr(0, comma));
        rest.remove_prefix(comma + 2);
    }
    items.emplace_back(rest);
    if (last != std::string_view::npos) items.emplace_back(text.substr(last + 5));
    return items;
}

}  // namespace

Sentences::Sentences() {
    for (const auto& row : english_sentences()) text_.emplace_back(row.english);
}

std::string Sentences::operator()(Say which, Arguments arguments) const {
    return filled_with(text_.at(static_cast<std::size_t>(which)), arguments);
}

std::string Sentences::found(const std::string& english) const {
    if (found_.empty()) return english;  // this table is English, or has no word for any of it
    if (const auto match = phrase_of(english)) {
        std::vector<std::pair<std::string_view, std::string>> arguments;
        for (const auto& [place, text] : match->filled)
            arguments.emplace_back(place, holds_a_phrase(place) ? found(text)
                                          : place == "names"    ? listed(list_from(text), *this)
                                                                : text);
        return filled_with(found_[match->phrase], arguments);
    }
    // Several sentences, each of them known: "{one}. {other}."
    for (auto end = english.find(". "); end != std::string::npos; end = english.find(". ", end + 1))
        if (phrase_of(std::string_view(english).substr(0, end + 1)))
            return found(english.substr(0, end + 1)) + " " + found(english.substr(end + 2));
    return english;
}

std::string Sentences::to_toml() const {
    std::vector<std::string> phrase_texts = found_;
    if (phrase_texts.empty())
        for (const auto& phrase : phrases()) phrase_texts.emplace_back(phrase.english);
    return toml_of(english_sentences(), text_) + "\n[" + std::string(found_table) + "]\n" +
           toml_of(phrases(), phrase_texts);
}

Sentences Sentences::parse(std::string_view toml_text, std::string_view source) {
    Sentences result;
    toml::table table;
    try {
        table = toml::parse(toml_text, source);
    } catch (const toml::parse_error& e) {
        throw Error(std::string(e.description()),
                    std::string(source) + ":" + std::to_string(e.source().begin.line), "");
    }
    read_rows(table, english_sentences(), result.text_, source);
    for (const auto& [key, node] : table)
        if (node.is_table() && key.str() != found_table)
            throw Error("no table is called \"" + std::string(key.str()) + "\"", place_in(source, node),
                        "what the computation says stands in [found]");
    if (const auto* found = table[found_table].as_table()) {
        for (const auto& phrase : phrases()) result.found_.emplace_back(phrase.english);
        read_rows(*found, phrases(), result.found_, source);
    }
    return result;
}

std::string listed(const std::vector<std::string>& items, const Sentences& say) {
    if (items.empty()) return "";
    std::string list = items.front();
    for (std::size_t i = 1; i + 1 < items.size(); ++i) list += ", " + items[i];
    return items.size() < 2 ? list : say(Say::and_word, {{"list", list}, {"last", items.back()}});
}

}  // namespace cranknote
