// One table of a layout file while it is read: every key is asked for once, what is left over is an error.
// Internal to layout/.
#pragma once

#include <toml++/toml.h>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "layout/layout.hpp"
#include "layout/words.hpp"

namespace cranknote::layout_file {

/// A place in the text, counted from 1.
struct Spot {
    unsigned line = 1, column = 1;
};

/// What every reader of one file shares.
struct File {
    std::string_view text;
    std::string source;  ///< what errors call it
    /// Where "part/3/teeth" (third part, its key) or "part/3" stands; for contradictions found later.
    std::map<std::string, Spot> spots;

    [[noreturn]] void fail(Spot at, const std::string& trouble, const std::string& advice = {}) const;
    /// "key `teeth`: expected ..., found ...; did you mean `...`?" `nearest` empty: no such question.
    [[noreturn]] void fail_key(Spot at, std::string_view key, const std::string& expected,
                               const std::string& nearest = {}) const;
    /// Spot of a key, or of the whole thing where the key was left out.
    [[nodiscard]] Spot spot(const std::string& thing, std::string_view key) const;
};

inline constexpr std::size_t longest_name = 80;   ///< bytes
inline constexpr std::size_t longest_text = 400;  ///< bytes, a caution or the title
inline constexpr std::size_t longest_list = 64;   ///< names in one list

/// Reads the keys of one table. `thing` is its path in File::spots.
class Table {
  public:
    Table(const toml::table& table, File& file, std::string thing);

    [[nodiscard]] bool has(std::string_view key);
    [[nodiscard]] Spot spot(std::string_view key) const;
    [[noreturn]] void fail(std::string_view key, const std::string& expected,
                           const std::string& nearest = {});

    // Each is absent if the key is left out; numbers outside [low, high] and other types are errors.
    [[nodiscard]] std::optional<std::string> name(std::string_view key);  ///< short, printable, trimmed
    [[nodiscard]] std::optional<std::string> text(std::string_view key);
    [[nodiscard]] std::optional<double> number(std::string_view key, double low, double high);
    [[nodiscard]] std::optional<int> whole(std::string_view key, int low, int high);
    /// As `whole`, but "typical" may stand for a count that is not known.
    [[nodiscard]] std::optional<int> count(std::string_view key, int low, int high);
    /// As `number`, but "typical" may stand for a measure that is not known.
    [[nodiscard]] std::optional<double> measure(std::string_view key, double low, double high);
    [[nodiscard]] bool flag(std::string_view key);
    [[nodiscard]] bool says_typical(std::string_view key);
    [[nodiscard]] std::vector<std::string> names(std::string_view key);
    [[nodiscard]] std::vector<std::string> texts(std::string_view key);
    [[nodiscard]] std::vector<double> numbers(std::string_view key, std::size_t at_most, double low,
                                              double high);
    [[nodiscard]] const toml::table* table(std::string_view key);
    /// The digits after the decimal point of a number as it stands in the file.
    [[nodiscard]] int decimals(std::string_view key) const;

    template <class E>
    [[nodiscard]] std::optional<E> word(std::string_view key) {
        const auto typed = text(key);
        if (!typed) return std::nullopt;
        std::vector<std::string> valid;
        for (const auto& w : words<E>()) {
            if (w.word == *typed) return w.value;
            valid.emplace_back(w.word);
        }
        fail_word(key, *typed, valid);
    }

    /// Every key that nobody asked for is an error.
    void finish() const;

  private:
    const toml::node* find(std::string_view key);
    [[noreturn]] void fail_word(std::string_view key, const std::string& typed,
                                const std::vector<std::string>& valid);
    std::string checked(std::string_view key, const toml::node& node, std::size_t longest);
    std::vector<std::string> list(std::string_view key, std::size_t longest);

    const toml::table& table_;
    File& file_;
    std::string thing_;
    std::vector<std::string> asked_;
};

/// "`a`, `b` or `c`"
[[nodiscard]] std::string one_of(const std::vector<std::string>& names);
/// A typed text made fit to print: short, without control characters.
[[nodiscard]] std::string shown(std::string_view text);
/// A number as a person writes it, whatever the locale: "9.525", "20".
[[nodiscard]] std::string plain_number(double value);

}  // namespace cranknote::layout_file
