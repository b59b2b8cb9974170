#include "layout/toml_table.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

namespace cranknote::layout_file {

namespace {

Spot spot_of(const toml::source_region& region) {
    return {static_cast<unsigned>(region.begin.line), static_cast<unsigned>(region.begin.column)};
}

bool is_control(char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; }

/// What stands there instead of what was expected.
std::string found(const toml::node& node) {
    if (const auto text = node.value_exact<std::string>()) return ", found \"" + shown(*text) + "\"";
    if (const auto whole = node.value_exact<int64_t>()) return ", found " + std::to_string(*whole);
    if (const auto number = node.value_exact<double>()) return ", found " + plain_number(*number);
    if (const auto flag = node.value_exact<bool>()) return *flag ? ", found true" : ", found false";
    return node.is_array()   ? ", found a list"
           : node.is_table() ? ", found a table"
                             : ", found a date or time";
}

std::string range_text(double low, double high) {
    return "from " + plain_number(low) + " to " + plain_number(high);
}

}  // namespace

std::string shown(std::string_view text) {
    std::size_t keep = std::min<std::size_t>(text.size(), longest_name);
    while (keep < text.size() && keep > 0 && (static_cast<unsigned char>(text[keep]) & 0xC0) == 0x80) --keep;
    std::string out;
    for (char c : text.substr(0, keep)) out += is_control(c) || c == '`' ? '?' : c;
    return text.size() > keep ? out + "..." : out;
}

std::string plain_number(double value) {
    std::array<char, 64> digits{};
    const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), value).ptr;
    return {digits.data(), end};
}

std::string one_of(const std::vector<std::string>& names) {
    std::string out;
    for (std::size_t i = 0; i < names.size(); ++i) {
        if (i > 0) out += i + 1 == names.size() ? " or " : ", ";
        out += "`" + shown(names[i]) + "`";
    }
    return out;
}

void File::fail(Spot at, const std::string& trouble, const std::string& advice) const {
    throw Error(trouble, source + ":" + std::to_string(at.line) + ":" + std::to_string(at.column), advice);
}

void File::fail_key(Spot at, std::string_view key, const std::string& expected,
                    const std::string& nearest) const {
    std::string trouble = "key `" + shown(key) + "`: expected " + expected;
    if (!nearest.empty()) trouble += "; did you mean `" + shown(nearest) + "`?";
    fail(at, trouble);
}

Spot File::spot(const std::string& thing, std::string_view key) const {
    for (const auto& path : {thing + "/" + std::string(key), thing})
        if (const auto it = spots.find(path); it != spots.end()) return it->second;
    return {};
}

Table::Table(const toml::table& table, File& file, std::string thing)
    : table_(table), file_(file), thing_(std::move(thing)) {
    file_.spots[thing_] = spot_of(table.source());
    for (const auto& [key, node] : table)
        file_.spots[thing_ + "/" + std::string(key.str())] = spot_of(key.source());
}

const toml::node* Table::find(std::string_view key) {
    asked_.emplace_back(key);
    return table_.get(key);
}

bool Table::has(std::string_view key) { return find(key) != nullptr; }
Spot Table::spot(std::string_view key) const { return file_.spot(thing_, key); }

void Table::fail(std::string_view key, const std::string& expected, const std::string& nearest) {
    file_.fail_key(spot(key), key, expected, nearest);
}

void Table::fail_word(std::string_view key, const std::string& typed, const std::vector<std::string>& valid) {
    fail(key, one_of(valid) + ", found `" + shown(typed) + "`", nearest_name(typed, valid));
}

std::string Table::checked(std::string_view key, const toml::node& node, std::size_t longest) {
    const auto value = node.value_exact<std::string>();
    if (!value) fail(key, "text in quotes" + found(node));
    if (value->empty()) fail(key, "some text, found nothing between the quotes");
    if (value->size() > longest) fail(key, "at most " + std::to_string(longest) + " bytes of text");
    if (std::any_of(value->begin(), value->end(), is_control)) fail(key, "text without control characters");
    return *value;
}

std::optional<std::string> Table::name(std::string_view key) {
    const auto* node = find(key);
    if (!node) return std::nullopt;
    auto value = checked(key, *node, longest_name);
    if (value.front() == ' ' || value.back() == ' ' || value.front() == '-')
        fail(key, "a name that does not begin with a dash or a space, nor end with a space");
    return value;
}

std::optional<std::string> Table::text(std::string_view key) {
    const auto* node = find(key);
    if (!node) return std::nullopt;
    return checked(key, *node, longest_text);
}

std::optional<double> Table::number(std::string_view key, double low, double high) {
    const auto* node = find(key);
    if (!node) return std::nullopt;
    const auto value = node->is_number() ? node->value<double>() : std::nullopt;
    if (!value) fail(key, "a number " + range_text(low, high) + found(*node));
    if (!(*value >= low && *value <= high))
        fail(key, "a number " + range_text(low, high) + ", found " + plain_number(*value));
    return value;
}

std::optional<int> Table::whole(std::string_view key, int low, int high) {
    const auto* node = find(key);
    if (!node) return std::nullopt;
    const auto value = node->value_exact<int64_t>();
    if (!value) fail(key, "a whole number " + range_text(low, high) + found(*node));
    if (*value < low || *value > high)
        fail(key, "a whole number " + range_text(low, high) + ", found " + std::to_string(*value));
    return static_cast<int>(*value);
}

bool Table::says_typical(std::string_view key) {
    const auto* node = find(key);
    if (!node || !node->is_string()) return false;
    const auto value = node->value_exact<std::string>();
    if (value != "typical")
        fail(key, "a number or `typical`, found `" + shown(*value) + "`", nearest_name(*value, {"typical"}));
    return true;
}

std::optional<int> Table::count(std::string_view key, int low, int high) {
    if (says_typical(key)) return std::nullopt;
    return whole(key, low, high);
}

std::optional<double> Table::measure(std::string_view key, double low, double high) {
    if (says_typical(key)) return std::nullopt;
    return number(key, low, high);
}

bool Table::flag(std::string_view key) {
    const auto* node = find(key);
    if (!node) return false;
    const auto value = node->value_exact<bool>();
    if (!value) fail(key, "true or false" + found(*node));
    return *value;
}

std::vector<std::string> Table::list(std::string_view key, std::size_t longest) {
    const auto* node = find(key);
    if (!node) return {};
    const auto* array = node->as_array();
    if (!array) fail(key, "a list in brackets, such as [\"one\", \"two\"]" + found(*node));
    if (array->size() > longest_list) fail(key, "at most " + std::to_string(longest_list) + " in the list");
    std::vector<std::string> out;
    for (const auto& item : *array) out.push_back(checked(key, item, longest));
    return out;
}

std::vector<std::string> Table::names(std::string_view key) { return list(key, longest_name); }
std::vector<std::string> Table::texts(std::string_view key) { return list(key, longest_text); }

std::vector<double> Table::numbers(std::string_view key, std::size_t at_most, double low, double high) {
    const auto* node = find(key);
    if (!node) return {};
    const auto* array = node->as_array();
    const std::string expected = "numbers " + range_text(low, high) + " in brackets";
    if (!array || array->empty() || array->size() > at_most) fail(key, expected);
    std::vector<double> out;
    for (const auto& item : *array) {
        const auto value = item.is_number() ? item.value<double>() : std::nullopt;
        if (!value || !(*value >= low && *value <= high)) fail(key, expected);
        out.push_back(*value);
    }
    return out;
}

const toml::table* Table::table(std::string_view key) {
    const auto* node = find(key);
    if (!node) return nullptr;
    if (!node->is_table()) fail(key, "a table, such as { number = \"6203\" }" + found(*node));
    return node->as_table();
}

int Table::decimals(std::string_view key) const {
    const auto* node = table_.get(key);
    if (!node) return 0;
    // The value's place in the text: columns count characters, and before a number all are one byte or
    // belong to a quoted key; a miscount only makes the ratio less sure.
    std::string_view rest = file_.text;
    for (auto line = node->source().begin.line; line > 1; --line) {
        const auto end = rest.find('\n');
        if (end == std::string_view::npos) return 0;
        rest.remove_prefix(end + 1);
    }
    const auto column = static_cast<std::size_t>(node->source().begin.column);
    if (column == 0 || column > rest.size()) return 0;
    rest.remove_prefix(column - 1);
    const auto is_digit = [](char c) { return (c >= '0' && c <= '9') || c == '_'; };
    std::size_t i = 0;
    while (i < rest.size() && (is_digit(rest[i]) || rest[i] == '+')) ++i;
    if (i >= rest.size() || rest[i] != '.') return 0;
    int digits = 0;
    for (++i; i < rest.size() && is_digit(rest[i]); ++i) digits += rest[i] == '_' ? 0 : 1;
    return std::min(digits, 6);
}

void Table::finish() const {
    for (const auto& [key, node] : table_) {
        const auto typed = std::string(key.str());
        if (std::find(asked_.begin(), asked_.end(), typed) != asked_.end()) continue;
        const auto nearest = nearest_name(typed, asked_);
        const bool bearing = thing_.ends_with("/bearing");
        const std::string what = bearing ? "bearing" : thing_.substr(0, thing_.find('/'));
        std::string expected = "a key of " + (what.empty() ? "the layout" : "`" + what + "`");
        if (nearest.empty()) {
            auto valid = asked_;
            std::sort(valid.begin(), valid.end());
            valid.erase(std::unique(valid.begin(), valid.end()), valid.end());
            expected += ": " + one_of(valid);
        }
        file_.fail_key(spot_of(key.source()), typed, expected, nearest);
    }
}

}  // namespace cranknote::layout_file
