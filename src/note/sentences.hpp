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
    // the note, the words in figures, the recording card
    note_title,
    pair_title,
    note_invented,
    repair_gone,
    repair_weaker,
    repair_there,
    repair_new,
    repair_cannot,
    headline_named,
    headline_tie,
    headline_open,
    headline_nothing,
    cause_probability,
    done_sentence,
    repair_left,
    repair_alike,
    repair_unlike,
    heading_complaint,
    heading_levels,
    heading_listen,
    heading_done,
    heading_cautions,
    heading_not_known,
    heading_states,
    heading_pair,
    heading_suspects,
    heading_readings,
    heading_engine,
    heading_seen,
    heading_method,
    col_state,
    col_off,
    col_speed,
    col_usable,
    col_where,
    col_verdict,
    col_change,
    col_fits,
    beat_short,
    col_reading,
    col_value,
    col_target,
    col_when,
    usable,
    repaired_word,
    repaired_what,
    with_word,
    on_target,
    off_target,
    worked_on,
    conditions,
    seen_for,
    seen_against,
    listen_on_paper,
    clips_matched,
    clip_whole,
    clip_band,
    repair_new_finding,
    made_with,
    method_speed,
    method_flags,
    method_offset,
    method_moved,
    method_untouched,
    speed_of_side,
    states_of_pair,
    finding_with_interval,
    changed_one_line,
    pull_caution,
    caution_listen,
    about_levels,
    about_ratio,
    source_hash,
    page_of,
    fact_vehicle,
    fact_registration,
    fact_mileage,
    fact_engine,
    fact_job_card,
    fact_owner,
    fact_date,
    fact_by,
    fact_shop,
    fig_level,
    fig_change,
    fig_per_turn,
    fig_with_pitch,
    fig_frequency,
    fig_expected,
    fig_outside,
    fig_time,
    fig_speed,
    fig_mean,
    fig_level_by_state,
    fig_off,
    fig_still,
    fig_from_front,
    fig_some_guessed,
    fig_places_guessed,
    fig_teeth,
    fig_there,
    card_title,
    card_lead,
    card_place,
    card_place_1,
    card_place_2,
    card_place_3,
    card_settings,
    card_settings_1,
    card_settings_2,
    card_record,
    card_record_1,
    card_record_2,
    card_record_3,
    card_record_4,
    card_record_5,
    card_write,
    card_write_speed,
    card_write_coolant,
    card_write_loads,
    card_write_vehicle,
    card_write_date,
    card_write_complaint,
    card_write_when,
    card_write_worked,
    card_careful,
    card_careful_1,
    card_careful_2,
    card_careful_3,
    card_careful_4,
    card_layout_title,
    card_cold,
    card_warm,
    card_takes,
    card_states,
    card_file,
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
