// What diagnose, compare, portrait, speed, layout and job say in English, as templates. Their results are
// plain English text (it is the JSON's); a note in another language finds the template that a text came from
// and fills the translated one with the same names and numbers.
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace cranknote {

/// A template. Places in braces: {number} stands for digits, {line}, {cause}, {way}, {step}, {says} and
/// {place} for another phrase, {names} for a list of names, all others for a name as it was typed.
struct Phrase {
    std::string_view name, english;
};

/// All of them. A test compares them with the sources' own texts.
[[nodiscard]] std::span<const Phrase> phrases();

/// Where a text comes from, and what fills its places.
struct PhraseMatch {
    std::size_t phrase = 0;  ///< index into phrases()
    std::vector<std::pair<std::string_view, std::string>> filled;
};

/// The template that the whole text fits, the one that says the most of it; absent for a text of none.
[[nodiscard]] std::optional<PhraseMatch> phrase_of(std::string_view text);

/// Whether what stands there is a phrase itself.
[[nodiscard]] bool holds_a_phrase(std::string_view place);

}  // namespace cranknote
