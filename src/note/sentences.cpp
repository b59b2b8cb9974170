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
     "Not sure of the multiple ({percent}). What would settle it: the speed read off the gauge (for example "
     "--rpm {tag}), or another recording of this engine at another speed."},
    {Say::speed_times, "speed_times", "{times} as fast"},
    {Say::speed_with_cylinders, "speed_with_cylinders", "with {count} cylinders"},
    {Say::speed_cylinders_guessed, "speed_cylinders_guessed",
     "How many cylinders there are was not said; {count} fit best. Saying it (--cylinders) makes this "
     "surer."},
    {Say::speed_from_sound, "speed_from_sound", "from the sound"},
    {Say::speed_from_tag, "speed_from_tag", "as entered"},
    {Say::speed_by_tag, "speed_by_tag", "from the sound; which multiple, by the {tag} entered"},
    {Say::speed_from_pickup, "speed_from_pickup", "from the pickup"},
    {Say::speed_by_pickup, "speed_by_pickup", "from the sound; which multiple, by the pickup"},
    {Say::used_stretch, "used_stretch", "Used: {from} to {to} of {length}."},
    {Say::quality_note, "quality_note", "To know"},
    {Say::quality_warn, "quality_warn", "Careful"},
    {Say::quality_unusable, "quality_unusable", "Not usable"},
    {Say::stands_out_heading, "stands_out_heading", "What stands out"},
    {Say::stands_out_nothing, "stands_out_nothing", "Nothing stands out."},
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
    {Say::note_title, "note_title", "Repair note"},
    {Say::pair_title, "pair_title", "Two states compared"},
    {Say::note_invented, "note_invented",
     "An invented example: engine, people and numbers are made up, the sound is simulated."},
    {Say::repair_gone, "repair_gone", "The noise is gone"},
    {Say::repair_weaker, "repair_weaker", "The noise is weaker, not gone"},
    {Say::repair_there, "repair_there", "The noise is still there"},
    {Say::repair_new, "repair_new", "Something new is heard after the repair"},
    {Say::repair_cannot, "repair_cannot", "Whether the repair holds cannot be told"},
    {Say::headline_named, "headline_named", "Most likely: {cause}"},
    {Say::headline_tie, "headline_tie", "More than one cause fits equally well"},
    {Say::headline_open, "headline_open", "The cause is still open"},
    {Say::headline_nothing, "headline_nothing", "Nothing stands out"},
    {Say::cause_probability, "cause_probability", "{cause}: {percent} on this evidence."},
    {Say::done_sentence, "done_sentence", "Done: {list}."},
    {Say::repair_left, "repair_left", "If anything is left of it, it is at least {db} weaker than as found."},
    {Say::repair_alike, "repair_alike", "Recorded under like conditions before and after."},
    {Say::repair_unlike, "repair_unlike", "Before and after were not recorded under like conditions."},
    {Say::heading_complaint, "heading_complaint", "The complaint"},
    {Say::heading_levels, "heading_levels", "The complaint, state by state"},
    {Say::heading_levels_of, "heading_levels_of", "Complaint {number}, state by state"},
    {Say::heading_next, "heading_next", "What to do next"},
    {Say::next_step, "next_step", "{name}: {minutes} min."},
    {Say::as_found, "as_found", "as found"},
    {Say::heading_listen, "heading_listen", "Listen"},
    {Say::heading_done, "heading_done", "What was done"},
    {Say::heading_cautions, "heading_cautions", "Cautions"},
    {Say::heading_not_known, "heading_not_known", "What is not known"},
    {Say::heading_states, "heading_states", "States recorded"},
    {Say::heading_pair, "heading_pair", "{a} against {b}"},
    {Say::heading_suspects, "heading_suspects", "Causes, and what speaks for and against them"},
    {Say::heading_readings, "heading_readings", "Readings"},
    {Say::heading_engine, "heading_engine", "The engine"},
    {Say::heading_seen, "heading_seen", "Seen and felt"},
    {Say::heading_method, "heading_method", "How it was measured"},
    {Say::col_state, "col_state", "State"},
    {Say::col_off, "col_off", "Off or set"},
    {Say::col_speed, "col_speed", "Crank speed"},
    {Say::col_usable, "col_usable", "Recording"},
    {Say::col_where, "col_where", "Where"},
    {Say::col_verdict, "col_verdict", "Verdict"},
    {Say::col_change, "col_change", "Change"},
    {Say::col_fits, "col_fits", "Fits"},
    {Say::beat_short, "beat_short", "beats {beat}"},
    {Say::col_reading, "col_reading", "What"},
    {Say::col_value, "col_value", "Value"},
    {Say::col_target, "col_target", "Target"},
    {Say::col_when, "col_when", "When"},
    {Say::usable, "usable", "usable"},
    {Say::repaired_word, "repaired_word", "repaired"},
    {Say::repaired_what, "repaired_what", "repaired: {what}"},
    {Say::with_word, "with_word", "with {what}"},
    {Say::on_target, "on_target", "in"},
    {Say::off_target, "off_target", "out"},
    {Say::worked_on, "worked_on", "Worked on before: {list}."},
    {Say::conditions, "conditions", "Conditions: {text}."},
    {Say::seen_for, "seen_for", "On {on}: {text}. Speaks for it as the cause."},
    {Say::seen_against, "seen_against", "On {on}: {text}. Speaks against it as the cause."},
    {Say::listen_on_paper, "listen_on_paper", "The sound clips play in the web page form of this note."},
    {Say::clips_matched, "clips_matched",
     "Matched in level where nothing changed: what differs is the noise."},
    {Say::clip_whole, "clip_whole", "the whole sound"},
    {Say::clip_band, "clip_band", "{band} alone"},
    {Say::repair_new_finding, "repair_new_finding", "New: {title}."},
    {Say::made_with, "made_with", "Made with {program}."},
    {Say::method_speed, "method_speed",
     "Crank speed is followed through each recording by the lines of its sound, or taken as entered. What "
     "turns with the crank is compared at equal ratio, everything else at equal frequency."},
    {Say::method_flags, "method_flags",
     "A change is flagged where chance alone is ruled out, at a false-discovery rate of {percent} over all "
     "bands, lines and beats together."},
    {Say::method_offset, "method_offset",
     "The second side was {db} against the first where nothing changed: that was taken out."},
    {Say::method_moved, "method_moved", "The phone was put down anew between the two."},
    {Say::method_untouched, "method_untouched", "The phone lay untouched between the two."},
    {Say::speed_of_side, "speed_of_side", "{low} \u2026 {high}"},
    {Say::states_of_pair, "states_of_pair", "The recordings"},
    {Say::finding_with_interval, "finding_with_interval", "{title}, {change} (95\u00a0%: {low} to {high})."},
    {Say::changed_one_line, "changed_one_line",
     "Nothing changed beyond what two recordings of one state may differ by."},
    {Say::pull_caution, "pull_caution", "{pull}: {caution}"},
    {Say::caution_listen, "caution_listen",
     "A probability is no proof: look at the part and touch it, engine off, before money is spent on it."},
    {Say::cold, "cold", "cold"},
    {Say::warm, "warm", "warm"},
    {Say::condition_coolant, "condition_coolant", "coolant {value}"},
    {Say::condition_since, "condition_since", "{time} after the start"},
    {Say::condition_loads, "condition_loads", "on: {list}"},
    {Say::condition_near, "condition_near", "microphone near {near}"},
    {Say::comes_sometimes, "comes_sometimes", "It comes and goes."},
    {Say::comes_when, "comes_when", "It comes {list}."},
    {Say::set_right, "set_right", "{what} set right"},
    {Say::set_right_something, "set_right_something", "something set right before \u201c{state}\u201d"},
    {Say::unknown_no_repeat, "unknown_no_repeat",
     "How much two recordings of one state differ here: no repeat was recorded, a usual value was taken."},
    {Say::unknown_no_repair, "unknown_no_repair", "Whether a repair helps: nothing was recorded after one."},
    {Say::unknown_state, "unknown_state", "Whether the noise was there in \u201c{state}\u201d."},
    {Say::unknown_tie, "unknown_tie", "Which of these it is: {list}. {separated}"},
    {Say::unknown_read, "unknown_read", "What {file} would have said: {trouble}"},
    {Say::unknown_unlike, "unknown_unlike",
     "How the repair sounds under the conditions of the complaint: they were not alike."},
    {Say::about_levels, "about_levels",
     "Levels are in dB below full scale of the recording, not sound pressure. 10 dB less sounds about half "
     "as loud. Intervals hold with a probability of 95\u00a0%."},
    {Say::about_ratio, "about_ratio",
     "A ratio such as 2.84× says how often something happens per turn of the crank."},
    {Say::source_hash, "source_hash", "{file}: SHA-256 {hash}"},
    {Say::page_of, "page_of", "page {page} of {pages}"},
    {Say::fact_vehicle, "fact_vehicle", "Vehicle"},
    {Say::fact_registration, "fact_registration", "Registration"},
    {Say::fact_mileage, "fact_mileage", "Mileage"},
    {Say::fact_engine, "fact_engine", "Engine"},
    {Say::fact_job_card, "fact_job_card", "Job card"},
    {Say::fact_owner, "fact_owner", "Owner"},
    {Say::fact_date, "fact_date", "Date"},
    {Say::fact_by, "fact_by", "By"},
    {Say::fact_shop, "fact_shop", "Workshop"},
    {Say::fig_level, "fig_level", "Level re full scale"},
    {Say::fig_change, "fig_change", "Change, with its 95\u00a0% interval"},
    {Say::fig_per_turn, "fig_per_turn", "per crank turn"},
    {Say::fig_with_pitch, "fig_with_pitch", "per crank turn, and its pitch at {rpm}"},
    {Say::fig_frequency, "fig_frequency", "frequency"},
    {Say::fig_expected, "fig_expected", "expected"},
    {Say::fig_outside, "fig_outside", "Grey: not compared."},
    {Say::fig_time, "fig_time", "time"},
    {Say::fig_speed, "fig_speed", "Crank speed"},
    {Say::fig_mean, "fig_mean", "mean {rpm}"},
    {Say::fig_level_by_state, "fig_level_by_state", "Level of the complaint re full scale"},
    {Say::fig_off, "fig_off", "off"},
    {Say::fig_still, "fig_still", "stands still"},
    {Say::fig_from_front, "fig_from_front", "Seen from the front, to scale."},
    {Say::fig_some_guessed, "fig_some_guessed",
     "Seen from the front. Where the layout gives no place, a usual one is drawn."},
    {Say::fig_places_guessed, "fig_places_guessed",
     "Seen from the front. Places are guessed: the layout does not give them."},
    {Say::fig_teeth, "fig_teeth", "{count} teeth"},
    {Say::fig_there, "fig_there", "there"},
    {Say::card_title, "card_title", "Recording card"},
    {Say::card_lead, "card_lead",
     "Two recordings of ten to twenty seconds, made alike, tell more than an hour of listening."},
    {Say::card_place, "card_place", "Where the phone goes"},
    {Say::card_place_1, "card_place_1",
     "Put it down on something that does not shake, an arm's length from the belt end, microphone towards "
     "the engine. Do not hold it."},
    {Say::card_place_2, "card_place_2",
     "Leave it untouched while you change one thing, if you can: then small changes count."},
    {Say::card_place_3, "card_place_3",
     "Bonnet open, doors and fans of the shop off, nobody talks. Keep phone and cables clear of everything "
     "that turns."},
    {Say::card_settings, "card_settings", "The phone"},
    {Say::card_settings_1, "card_settings_1",
     "Use the recorder app, not a voice message; its best quality; noise reduction and automatic gain off, "
     "where it lets you."},
    {Say::card_settings_2, "card_settings_2",
     "Send the file as a file. A messenger's voice message has lost half of the sound."},
    {Say::card_record, "card_record", "What to record"},
    {Say::card_record_1, "card_record_1",
     "As found, cold: from the start on, 30 seconds. Say the day, the vehicle and “as found, cold”."},
    {Say::card_record_2, "card_record_2",
     "As found, warm: idle, 20 seconds. Then a slow run-up to 2500 rpm and back, 15 seconds."},
    {Say::card_record_3, "card_record_3",
     "The same once more: engine off, started again, phone put down anew. This repeat says how much two "
     "recordings of one state differ."},
    {Say::card_record_4, "card_record_4",
     "Each check or pull: say it aloud (“fan off, take two”), then 20 seconds of silence from you."},
    {Say::card_record_5, "card_record_5",
     "After the repair, and after refitting: as found, under the same conditions."},
    {Say::card_write, "card_write", "What to write down"},
    {Say::card_write_speed, "card_write_speed", "Idle speed, rpm"},
    {Say::card_write_coolant, "card_write_coolant", "Coolant, °C"},
    {Say::card_write_loads, "card_write_loads", "Loads on (lamps, fans)"},
    {Say::card_write_vehicle, "card_write_vehicle", "Vehicle"},
    {Say::card_write_date, "card_write_date", "Date"},
    {Say::card_write_complaint, "card_write_complaint", "The noise, in the driver's words"},
    {Say::card_write_when, "card_write_when", "Comes when (cold, wet)"},
    {Say::card_write_worked, "card_write_worked", "Worked on before"},
    {Say::card_careful, "card_careful", "Careful"},
    {Say::card_careful_1, "card_careful_1",
     "Sleeves, hair, rings and cables away from belts and fans. An electric fan starts by itself, also with "
     "the engine off."},
    {Say::card_careful_2, "card_careful_2",
     "Never run an engine without its timing drive or tensioner, with the crank bolt loose, or beside a "
     "cover that hangs half loose."},
    {Say::card_careful_3, "card_careful_3",
     "Accessory belt off: the water pump may stand still. From cold, for seconds, then off and let it cool."},
    {Say::card_careful_4, "card_careful_4",
     "Outdoors or with extraction: exhaust kills. Brake on, out of gear, wheels chocked; a raised car on "
     "stands."},
    {Say::card_layout_title, "card_layout_title", "Recording card: {layout}"},
    {Say::card_cold, "card_cold", "as found, cold"},
    {Say::card_warm, "card_warm", "as found, warm"},
    {Say::card_takes, "card_takes", "Minutes"},
    {Say::card_states, "card_states", "States: tick what was off, number the file"},
    {Say::card_file, "card_file", "File"},
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
