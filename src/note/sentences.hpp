// Every English sentence that the program's texts and notes are made of, in one table, so that a translation
// is a file. (Evidence for and against a suspect is worded in diagnose/, remarks on a recording in
// portrait/.)
#pragma once

#include <initializer_list>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace cranknote {

/// The sentences by name. The table in sentences.cpp has exactly one row for each, in this order.
enum class Say {
    // speed
    speed_is,
    speed_interval,
    speed_range,
    speed_unknown,
    speed_or,
    speed_sure,
    speed_unsure,
    speed_from_sound,
    speed_from_tag,
    speed_from_pickup,
    used_stretch,
    // quality
    quality_note,
    quality_warn,
    quality_unusable,
    // one recording
    stands_out_heading,
    stands_out_nothing,
    // comparison
    before,
    after,
    recording_of,
    changed_heading,
    changed_nothing,
    still_there_heading,
    expected_heading,
    finding_title,
    level_of,
    change_with_interval,
    level_before_after,
    presence_before_after,
    presence_one,
    swells_slow,
    swells_fast,
    fits,
    fits_nothing,
    expected_because,
    // words for a finding
    gone,
    weaker,
    there,
    stronger,
    fresh,
    cannot_tell,
    a_tone,
    a_scrape,
    a_tick,
    a_hiss,
    follows_crank,
    follows_fixed,
    follows_free,
    // suspects
    suspects_heading,
    suspects_rest,
    tied,
    mark_for,
    mark_against,
    conclusion_nothing,
    conclusion_open,
    conclusion_tie,
    conclusion_named,
    // limits
    limits_heading,
    comparable_hz,
    comparable_ratio,
    not_comparable,
    spread_measured,
    spread_default,
    and_word,
    count_  // not a sentence: how many there are
};

/// A table of sentences: English, or a translation of it.
class Sentences {
  public:
    using Arguments = std::initializer_list<std::pair<std::string_view, std::string_view>>;

    /// English.
    Sentences();

    /// A sentence with its {places} filled. A place that is not given stays as it is written.
    [[nodiscard]] std::string operator()(Say which, Arguments arguments = {}) const;

    /// The table as TOML, one `name = "sentence"` a line: the start of a translation.
    [[nodiscard]] std::string to_toml() const;
    /// A translation: names as in to_toml, sentences missing there stay English. Throws Error (could not)
    /// with source:line for an unknown name, for what is not text, and for a {place} that the English one
    /// lacks.
    [[nodiscard]] static Sentences parse(std::string_view toml, std::string_view source);

  private:
    std::vector<std::string> text_;
};

/// "a", "a and b", "a, b and c".
[[nodiscard]] std::string listed(const std::vector<std::string>& items, const Sentences& say = {});

}  // namespace cranknote
