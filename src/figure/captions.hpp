// The words that stand in figures: English here; the note fills them from its table of sentences.
#pragma once

#include <array>
#include <string>

#include "portrait/finding.hpp"

namespace cranknote::figure {

struct Captions {
    std::string level = "Level re full scale";
    std::string change = "Change, with its 95\u00a0% interval";
    std::string per_turn = "per crank turn";
    std::string with_pitch = "per crank turn, and its pitch at {rpm}";
    std::string frequency = "frequency";
    std::string expected = "expected";
    std::string outside = "Grey: not compared.";
    std::string least = "A steady change under some {db} in one octave is not flagged.";
    std::string beyond = "{where}, beyond this axis";
    std::string time = "time";
    std::string speed = "Crank speed";
    std::string mean = "mean {rpm}";
    std::string no_speed = "The crank speed is not known.";
    std::string beats_axis = "times per crank turn";
    std::string level_by_state = "Level of the complaint re full scale";
    std::string off = "off";
    std::string still = "stands still";
    std::string heat_axis = "per crank turn";
    std::string from_front = "Seen from the front, to scale.";
    std::string some_guessed = "Seen from the front. Where the layout gives no place, a usual one is drawn.";
    std::string places_guessed = "Seen from the front. Places are guessed: the layout does not give them.";
    std::string teeth = "{count} teeth";
    std::string suspect = "suspected";
    std::string even = "even";
    std::string by_cylinder = "How strongly each cylinder fires, in firing order. Circle: their mean.";
    std::string by_position =
        "How strongly each firing comes, in order; which cylinder is first is not known. Circle: their mean.";
    std::string depth = "Swelling, share of the sound";
    std::string nothing = "Nothing to show.";
    std::array<std::string, 6> verdict{"gone", "weaker", "there", "stronger", "new", "cannot tell"};
    std::array<std::string, 4> character{"a tone", "a scrape", "a tick", "a hiss"};

    [[nodiscard]] const std::string& word(Verdict v) const { return verdict[static_cast<std::size_t>(v)]; }
    [[nodiscard]] const std::string& word(Character c) const {
        return character[static_cast<std::size_t>(c)];
    }
};

/// `text` with {place} replaced by `value`.
[[nodiscard]] std::string filled(std::string text, const std::string& place, const std::string& value);

}  // namespace cranknote::figure
