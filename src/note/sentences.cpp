#include "note/sentences.hpp"

#include <toml++/toml.h>

#include <algorithm>
#include <array>
#include <set>

#include "units/error.hpp"

namespace cranknote {

namespace {

struct Row {
    Say say;
    std::string_view name, english;
};

constexpr auto row_count = static_cast<std::size_t>(Say::count_);

constexpr std::array<Row, row_count> english{{
    {Say::speed_is, "speed_is", "Crank speed {rpm}"},
    {Say::speed_interval, "speed_interval", "95\u00a0% sure that its mean is {low} to {high}."},
    {Say::speed_range, "speed_range", "Over time it was {low} to {high}."},
    {Say::speed_unknown, "speed_unknown", "Crank speed: cannot tell."},
    {Say::speed_or, "speed_or", "It could also be {list}."},
    {Say::speed_sure, "speed_sure", "Sure of it: {percent}."},
    {Say::speed_unsure, "speed_unsure",
     "Not sure of the multiple ({percent}). Read the gauge and give it, for example --rpm {tag}."},
    {Say::speed_from_sound, "speed_from_sound", "from the sound"},
    {Say::speed_from_tag, "speed_from_tag", "as entered"},
    {Say::speed_from_pickup, "speed_from_pickup", "from the pickup"},
    {Say::used_stretch, "used_stretch", "Used: {from} to {to} of {length}."},
    {Say::quality_note, "quality_note", "To know"},
    {Say::quality_warn, "quality_warn", "Careful"},
    {Say::quality_unusable, "quality_unusable", "Not usable"},
    {Say::stands_out_heading, "stands_out_heading", "What stands out"},
    {Say::stands_out_nothing, "stands_out_nothing", "Nothing stands out."},
    {Say::before, "before", "before"},
    {Say::after, "after", "after"},
    {Say::recording_of, "recording_of", "{side}: {file}"},
    {Say::changed_heading, "changed_heading", "What changed, {a} to {b}"},
    {Say::changed_nothing, "changed_nothing",
     "No change beyond what two recordings of one state may differ by."},
    {Say::still_there_heading, "still_there_heading", "Did not change"},
    {Say::expected_heading, "expected_heading", "Changes to be expected"},
    {Say::finding_title, "finding_title", "{where}, {what}: {verdict}"},
    {Say::level_of, "level_of", "{level} re full scale."},
    {Say::change_with_interval, "change_with_interval", "{change} (95 %: {low} to {high})."},
    {Say::level_before_after, "level_before_after", "{a} before, {b} after."},
    {Say::presence_before_after, "presence_before_after", "Heard {a} of the time before, {b} after."},
    {Say::presence_one, "presence_one", "Heard {a} of the time."},
    {Say::swells_slow, "swells_slow", "It comes once in {turns} crank turns ({beat})."},
    {Say::swells_fast, "swells_fast", "It comes {times} times a crank turn ({beat})."},
    {Say::fits, "fits", "Fits {part}: {line}, expected at {ratio}."},
    {Say::fits_nothing, "fits_nothing", "Nothing in the layout predicts it."},
    {Say::expected_because, "expected_because", "{where}: {verdict}; {why}."},
    {Say::gone, "gone", "gone"},
    {Say::weaker, "weaker", "weaker"},
    {Say::there, "there", "still there"},
    {Say::stronger, "stronger", "stronger"},
    {Say::fresh, "fresh", "new"},
    {Say::cannot_tell, "cannot_tell", "cannot tell"},
    {Say::a_tone, "a_tone", "a tone"},
    {Say::a_scrape, "a_scrape", "a scrape"},
    {Say::a_tick, "a_tick", "a tick"},
    {Say::a_hiss, "a_hiss", "a hiss"},
    {Say::follows_crank, "follows_crank", "Its pitch goes with the crank."},
    {Say::follows_fixed, "follows_fixed", "Its pitch stays, whatever the crank does."},
    {Say::follows_free, "follows_free", "Its pitch wanders by itself."},
    {Say::suspects_heading, "suspects_heading", "Suspects"},
    {Say::suspects_rest, "suspects_rest", "All others together: {percent}."},
    {Say::tied, "tied", "These recordings cannot tell it from {list}."},
    {Say::mark_for, "mark_for", "for"},
    {Say::mark_against, "mark_against", "against"},
    {Say::conclusion_nothing, "conclusion_nothing", "Nothing stands out."},
    {Say::conclusion_open, "conclusion_open", "Open: no cause is likely enough to be named."},
    {Say::conclusion_tie, "conclusion_tie", "A tie: {list} fit equally well."},
    {Say::conclusion_named, "conclusion_named", "Most likely: {cause} ({percent})."},
    {Say::limits_heading, "limits_heading", "How far this goes"},
    {Say::comparable_hz, "comparable_hz", "Compared from {low} to {high}."},
    {Say::comparable_ratio, "comparable_ratio", "Compared from {low} to {high} per crank turn."},
    {Say::not_comparable, "not_comparable", "These recordings cannot be compared."},
    {Say::spread_measured, "spread_measured",
     "Repeats of one state differ by {db} an octave (measured, standard deviation)."},
    {Say::spread_default, "spread_default",
     "Repeats of one state are taken to differ by {db} an octave (assumed: no repeat was recorded)."},
    {Say::and_word, "and_word", "{list} and {last}"},
}};

constexpr bool in_order() {
    for (std::size_t i = 0; i < row_count; ++i)
        if (static_cast<std::size_t>(english[i].say) != i) return false;
    return true;
}
static_assert(in_order(), "one row for each Say, in its order");

/// The names in {braces}.
std::set<std::string_view> places(std::string_view text) {
    std::set<std::string_view> found;
    while (true) {
        const auto open = text.find('{');
        const auto close = text.find('}', open);
        if (open == std::string_view::npos || close == std::string_view::npos) return found;
        found.insert(text.substr(open + 1, close - open - 1));
        text.remove_prefix(close + 1);
    }
}

std::string place_in(std::string_view source, const toml::node& node) {
    return std::string(source) + ":" + std::to_string(node.source().begin.line);
}

/// The translated text of one row, checked against the English one.
std::string translated(const Row& row, const toml::node& node, std::string_view source) {
    const auto text = node.value<std::string>();
    if (!text) throw Error("\"" + std::string(row.name) + "\" is not text", place_in(source, node), "");
    const auto known = places(row.english);
    for (const auto place : places(*text))
        if (!known.count(place))
            throw Error("\"" + std::string(row.name) + "\" has no {" + std::string(place) + "}",
                        place_in(source, node), "English: " + std::string(row.english));
    return *text;
}

}  // namespace

Sentences::Sentences() {
    text_.reserve(row_count);
    for (const auto& row : english) text_.emplace_back(row.english);
}

std::string Sentences::operator()(Say which, Arguments arguments) const {
    std::string_view text = text_.at(static_cast<std::size_t>(which));
    std::string out;
    while (!text.empty()) {
        const auto open = text.find('{');
        const auto close = text.find('}', std::min(open, text.size()));
        if (close == std::string_view::npos) break;
        const auto name = text.substr(open + 1, close - open - 1);
        const auto* value =
            std::find_if(arguments.begin(), arguments.end(), [&](const auto& a) { return a.first == name; });
        out += text.substr(0, open);
        out += value != arguments.end() ? value->second : text.substr(open, close - open + 1);
        text.remove_prefix(close + 1);
    }
    return out += text;
}

std::string Sentences::to_toml() const {
    std::string out;
    for (std::size_t i = 0; i < row_count; ++i) {
        std::string quoted;
        for (const char c : text_[i]) {
            if (c == '"' || c == '\\') quoted += '\\';
            quoted += c;
        }
        out += std::string(english[i].name) + " = \"" + quoted + "\"\n";
    }
    return out;
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
    for (const auto& [key, node] : table) {
        const auto* row = std::find_if(english.begin(), english.end(),
                                       [&k = key](const Row& r) { return r.name == k.str(); });
        if (row == english.end())
            throw Error("no sentence is called \"" + std::string(key.str()) + "\"", place_in(source, node),
                        "");
        result.text_[static_cast<std::size_t>(row->say)] = translated(*row, node, source);
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
