#include "note/phrases.hpp"

#include <algorithm>
#include <array>

namespace cranknote {

namespace {

constexpr auto phrase_table = std::to_array<Phrase>({
    // causes: diagnose/causes_*.cpp
    {"bearing", "{name} bearing"},
    {"touches", "{name} touches the {other}"},
    {"slips", "{name} slips"},
    {"out_of_line", "{name} runs out of line"},
    {"edge_frays", "{name} edge frays on a pulley's flange"},
    {"mesh_whines", "{name} whines in mesh"},
    {"chain_rattles", "{name} rattles (slack or worn guide)"},
    {"gears_whine", "{name} gears whine"},
    {"pump_whines", "{name} whines as it pumps"},
    {"whines_electrically", "{name} whines electrically (winding or diode)"},
    {"blades_beat", "{name} blades beat the air"},
    {"blades_sing", "{name} fan blades sing"},
    {"rattles_on_stop", "{name} rattles on its stop"},
    {"loose_rubber", "{name} is loose or its rubber is torn"},
    {"freewheel_rattles", "{name}'s free-wheeling pulley rattles"},
    {"valve_ticks", "a valve ticks (clearance or lifter)"},
    {"bearing_knocks", "a big end or main bearing knocks"},
    {"piston_slaps", "a piston slaps"},
    {"injector_ticks", "an injector ticks"},
    {"exhaust_leaks", "the exhaust leaks"},
    {"intake_leaks", "the intake leaks air"},
    {"fires_unevenly", "a cylinder fires unevenly"},
    {"release_bearing", "the clutch's release bearing"},
    {"input_bearing", "the gearbox's input shaft bearing"},
    {"flywheel_rattles", "the flywheel or clutch plate rattles"},
    {"electric_fan", "an electric fan"},
    {"fuel_pump", "the fuel pump"},
    {"mains_hum", "mains hum in the room"},
    {"room_noise", "another noise in the room"},
    {"something_else", "something else"},
    {"something_or_healthy", "something else, or only a healthy sound"},
    {"nothing_but_still", "nothing is wrong: only the healthy sound of what stands still"},
    {"nothing_but_chance", "nothing is wrong: chance, or another day's sound"},
    {"healthy_still", "healthy sound of what stands still"},
    {"healthy_engine", "healthy engine"},
    // lines: diagnose/causes_*.cpp, diagnose/healthy.cpp, layout/lines.cpp
    {"line_turns_of", "turns of the {name}"},
    {"line_turns", "turns"},
    {"line_turn", "turn"},
    {"line_hub_turn", "hub turn"},
    {"line_pulley_turn", "pulley turn"},
    {"line_shaft_turn", "shaft turn"},
    {"line_crank_turn", "crank turn"},
    {"line_bearing_outer", "bearing, outer ring"},
    {"line_bearing_inner", "bearing, inner ring"},
    {"line_bearing_ball", "bearing, ball"},
    {"line_bearing_cage", "bearing, cage"},
    {"line_unread_outer", "unread bearing, outer ring"},
    {"line_unread_inner", "unread bearing, inner ring"},
    {"line_unread_ball", "unread bearing, ball"},
    {"line_unread_cage", "unread bearing, cage"},
    {"line_tooth_mesh", "tooth mesh"},
    {"line_teeth_unknown", "tooth mesh, teeth not known"},
    {"line_count_unknown", "{line}, count not known"},
    {"line_same_teeth", "same teeth of {name} meet"},
    {"line_belt_pass", "belt pass"},
    {"line_chain_pass", "chain pass"},
    {"line_blade_pass", "blade pass"},
    {"line_vane_pass", "vane pass"},
    {"line_piston_pass", "piston pass"},
    {"line_lobe_pass", "lobe pass"},
    {"line_plunger_pass", "plunger pass"},
    {"line_pole_pairs", "pole pairs"},
    {"line_ripple", "ripple"},
    {"line_rectifier", "rectifier ripple"},
    {"line_cam", "cam"},
    {"line_crank", "crank"},
    {"line_cycle", "cycle"},
    {"line_firing", "firing"},
    {"line_firings", "firing, {number} a cycle"},
    {"line_half_orders", "half orders"},
    {"line_cam_torque", "cam torque"},
    {"line_one_cylinder", "one cylinder"},
    {"line_one_misses", "one cylinder misses"},
    {"line_one_injector", "one injector"},
    {"line_all_injectors", "all injectors"},
    {"line_one_valve", "one valve"},
    {"line_every_valve", "one valve of every cylinder"},
    {"line_beat", "{line} (beat)"},
    {"line_nd", "{line}, {number}nd"},
    {"line_rd", "{line}, {number}rd"},
    {"line_th", "{line}, {number}th"},
    {"line_nd_harmonic", "{line}, {number}nd harmonic"},
    {"line_rd_harmonic", "{line}, {number}rd harmonic"},
    {"line_th_harmonic", "{line}, {number}th harmonic"},
    // what happens so often: diagnose/causes_*.cpp, diagnose/healthy.cpp
    {"says_turns", "the {name} turns"},
    {"says_it_turns", "{name} turns"},
    {"says_it_runs", "{name} runs"},
    {"says_goes_round", "the {name} goes round"},
    {"says_bearing_outer", "the {name}'s bearing, outer ring, comes round"},
    {"says_bearing_inner", "the {name}'s bearing, inner ring, comes round"},
    {"says_bearing_ball", "the {name}'s bearing, ball, comes round"},
    {"says_bearing_cage", "the {name}'s bearing, cage, comes round"},
    {"says_teeth_mesh", "the {name}'s teeth mesh"},
    {"says_links_mesh", "the {name}'s links mesh"},
    {"says_vanes", "the {name}'s vanes pass"},
    {"says_pistons", "the {name}'s pistons pump"},
    {"says_lobes", "the {name}'s lobes pass"},
    {"says_plungers", "the {name}'s plungers pump"},
    {"says_ripples", "the {name}'s rectifier ripples"},
    {"says_poles", "the {name}'s pole pairs pass"},
    {"says_blades", "the {name}'s blades pass"},
    {"says_camshaft", "the camshaft turns"},
    {"says_a_camshaft", "a camshaft turns"},
    {"says_slaps", "its slack strand slaps as the engine fires"},
    {"says_crank", "the crank turns"},
    {"says_one_fires", "one cylinder fires"},
    {"says_one_opens", "one injector opens"},
    {"says_injectors", "injectors open in turn"},
    {"says_fires", "the engine fires"},
    {"says_port_blows", "one port blows"},
    {"says_lines_lie", "one cylinder's lines lie"},
    {"says_cycle", "the engine's cycle comes round"},
    {"says_engine_cycle", "the engine's cycle"},
    // for and against: diagnose/evidence.cpp, posterior.cpp, pair.cpp, tracked.cpp, course.cpp
    {"tone_fits", "tone at {ratio}: consistent with this, {says} at {expected}"},
    {"tone_fits_times",
     "tone at {ratio}: consistent with this, {says} at {expected}, {number} times that is {found}"},
    {"tone_fits_none", "tone at {ratio} fits none of its lines"},
    {"pitch_crank", "its pitch goes with the crank"},
    {"pitch_crank_against", "its pitch goes with the crank, unlike this"},
    {"pitch_fixed", "its pitch stays where it is while the idle wanders"},
    {"pitch_fixed_against", "its pitch does not go with the crank"},
    {"pitch_free", "its pitch wanders by itself"},
    {"pitch_free_against", "its pitch wanders by itself, unlike this"},
    {"no_swell", "it does not swell"},
    {"no_swell_against", "it does not swell or knock, as this would"},
    {"swells", "swells {number} times per crank turn"},
    {"swells_fits", "swells {number} times per crank turn: {says} at {expected}"},
    {"swells_fits_times",
     "swells {number} times per crank turn: {says} at {expected}, {times} times that is {found}"},
    {"swells_but", "swells {number} times per crank turn, but {says} at {expected}"},
    {"swells_against", "swells {number} times per crank turn, which this would not"},
    {"like_tone", "sounds like a tone"},
    {"like_scrape", "sounds like a scrape"},
    {"like_tick", "sounds like a tick"},
    {"like_hiss", "sounds like a steady hiss"},
    {"like_tone_against", "sounds like a tone, unlike this"},
    {"like_scrape_against", "sounds like a scrape, unlike this"},
    {"like_tick_against", "sounds like a tick, unlike this"},
    {"like_hiss_against", "sounds like a steady hiss, unlike this"},
    {"band_usual", "heard around {pitch}, where this usually lies"},
    {"band_unusual", "heard around {pitch}, unusual for this"},
    {"comes_and_goes", "it comes and goes"},
    {"comes_and_goes_against", "it comes and goes, unlike this"},
    {"worked_on", "the {name} was worked on before the noise came"},
    {"seen_on", "seen on the {name}: {text}"},
    {"loudest_near", "loudest with the microphone near it"},
    {"quieter_near", "quieter with the microphone near it than elsewhere"},
    {"way_stayed", "stayed {step}"},
    {"way_went_down", "went down {step}"},
    {"way_went", "went {step}"},
    {"way_came_up", "came up {step}"},
    {"way_came", "came {step}"},
    {"step_with", "with {check}"},
    {"step_off", "with the {names} off"},
    {"step_on", "with the {names} back on"},
    {"step_repair", "after the repair"},
    {"step_set_right", "after the {name} was set right"},
    {"step_again", "when recorded again"},
    {"way_cannot_sound", "{way}, when this cannot sound"},
    {"way_sounds_again", "{way}, when this can sound again"},
    {"way_neither", "this could not sound in either state"},
    {"way_fits", "{way}, consistent with this"},
    {"way_both", "{way}, though this could sound in both"},
    {"way_still_runs", "{way}, though this still runs"},
    {"way_cured", "{way}: what was taken off and put back may have been cured by the touching"},
    {"way_came_back", "{way}: it came back with what was put back on"},
    {"silent_with_stopped", "went silent with what was stopped"},
    {"silent_with", "went silent with the {names}"},
    {"sounds_again_with", "sounds again with the {names} back on"},
    {"switched_on", "comes with what was switched on"},
    {"separated_by_check", "the check {check}"},
    // what next, when to stop: diagnose/next.cpp, steps.cpp, steps_by_hand.cpp
    {"repeat", "the same again: stop, restart, same warmth, phone put down anew"},
    {"look_at", "look at the {name}"},
    {"probe", "microphone near the {names} in turn"},
    {"count_turns", "count the turns of the {name} over ten crank turns by hand"},
    {"care_full_lock", "Seconds only on full lock. Brakes on, neutral, wheels chocked."},
    {"care_mist", "A fine mist from the side: hands, sleeves and bottle clear of the belt."},
    {"care_run_up", "Slowly to some 2500 rpm and back, brakes on, neutral."},
    {"care_cut",
     "Ignition carries tens of kilovolts: unplug with the engine off. Seconds only, or the catalyst "
     "overheats."},
    {"care_shut_off", "Let the recording run on while the engine stops."},
    {"care_same_seconds", "Compare with as found from cold at the same seconds since start."},
    {"care_renew", "Renew the {name}: it may not be used again."},
    {"care_cover", "Take it right off, or space it and bolt it: never run beside a half-loosened cover."},
    {"care_look", "Engine off, key out; an electric fan may start by itself."},
    {"care_probe",
     "An arm's length from anything that turns; nothing loose: sleeves, hair, straps, leads tied back."},
    {"care_count", "Engine off, key out, plugs or clutch so that it turns freely."},
    {"stop_gone", "The complaint is gone after the repair: refit everything and hand over."},
    {"stop_nothing", "Nothing stands out that would have to be found."},
    {"stop_sure", "Sure enough ({percent}, {cause}): repair and record again."},
    {"stop_sure_tied",
     "Sure enough ({percent}, {cause} or what cannot be told from it): repair and record again."},
    {"stop_sure_place", "Sure enough ({percent}, the {name}): repair and record again."},
    {"stop_little", "Further pulls would tell little; repair and record again."},
    {"stop_not_yet", "The next step is worth its minutes."},
    // running with things off: layout/off.cpp
    {"off_meet", "`{name}` would stand still: valves and pistons can meet."},
    {"off_times", "`{name}` would stand still, and its drive times the engine."},
    {"off_oil", "`{name}` would stand still: no oil pressure."},
    {"off_seconds", "`{name}` would stand still: start from cold, run for seconds, then engine off."},
    {"off_without_seconds", "Without `{name}`: start from cold, run for seconds, then engine off."},
    {"off_never", "The layout says never to run without `{name}`."},
    {"off_crank", "`{name}` sits on the crank: its bolts also hold what times or balances the engine."},
    {"off_keeps", "`{name}` keeps `{other}` in its place, and that must never come loose."},
    {"off_vital", "`{name}` times or oils the engine: never run without it."},
    // after the repair: diagnose/repair.cpp, job/evidence.cpp
    {"unlike_warmth",
     "One was cold, the other warm: a cold engine idles faster with more ignition advance, which is no fair "
     "comparison. Record again equally warm."},
    {"not_all_on", "Not everything is back on: refit it and record once more."},
    {"loads_differ", "The loads that were on differ."},
    {"road_test", "Record once more after a road test of some 80 km (50 miles)."},
    {"unlike_coolant", "Coolant was {one} in one and {other} in the other."},
    {"unlike_start", "From cold, one begins {number} s after the start and the other {times} s."},
    {"unlike_loads", "Other loads were on."},
    {"unlike_near", "The microphone was near another thing."},
    // the comparison: compare/compare.cpp, range.cpp
    {"offset", "Level difference taken out: {number} dB. A change of the whole sound would hide in it."},
    {"offset_slope",
     "Level difference taken out: {number} dB, and {slope} dB an octave. A change of the whole sound would "
     "hide in it."},
    {"no_repeat",
     "No repeat was recorded: a steady change under some {number} dB in one octave is not flagged."},
    {"first_unusable", "The first side has no usable recording."},
    {"second_unusable", "The second side has no usable recording."},
    {"speeds_apart", "Crank speeds are {number} % apart: only what turns is compared, at equal ratio."},
    {"speeds_apart_steady", "Crank speeds are {number} % apart: steady sound changes with speed by itself."},
    {"speed_not_known",
     "Crank speed is not known on both sides: nothing can be compared by ratio. Enter it (--rpm 820~40)."},
    {"nothing_above", "Nothing above {number} kHz is compared: one of the recordings does not hold it."},
    // a recording: portrait/usability.cpp, running_remarks.cpp
    {"no_engine",
     "No running engine can be heard. Record with the engine running and the microphone closer to it."},
    {"cranking",
     "Cranking only: the starter turns the engine at about {number} rpm ({from} s to {to} s) and it does not "
     "fire. "
     "Record with the engine running."},
    {"goes_off", "The engine goes off at {number} s. Only {from} s to {to} s is used."},
    {"off_until", "The engine is off until {number} s. Only {from} s to {to} s is used."},
    {"unsteady",
     "The speed moves too much for comparing with another recording. Hold it steady, or use a steady stretch "
     "(--from, --to)."},
    {"too_short", "Too short to compare: record 10 seconds or more."},
    {"short", "Short: beats and tones are told apart better in 10 seconds or more."},
    {"silent", "Nearly silent ({number} dB re full scale): check the microphone, and go closer."},
    {"quiet",
     "Very quiet ({number} dB re full scale): weak sounds drown in the recorder's own noise. Go closer."},
    {"overdriven",
     "Overdriven throughout: loud strokes are cut off and fill every band. Move the phone away, or lower its "
     "recording level."},
    {"overdriven_places",
     "Overdriven in places: cut-off peaks sound like ticks. Move the phone away a little."},
    {"band_limit", "Nothing above {number} Hz is in this recording: nothing is said up there."},
    {"voice_message",
     "Stored as a voice message ({codec}): such coding keeps speech and drops much else. Send it as a file, "
     "not as a voice message."},
    {"low_cut",
     "The phone takes off what lies below some {number} Hz, as most do: deep sounds are not judged."},
    {"moving_gain",
     "The recorder moves its own level by {number} dB: loudness is not told from gain. Switch automatic "
     "level "
     "off if you can."},
    {"suppression",
     "Noise suppression cuts holes into the sound: an engine is noise to it. Use a recorder app without it."},
    {"speech",
     "Something passes over it, speech by the look of it, for some {number} % of the time: keep quiet while "
     "recording."},
    {"wind", "Wind in the microphone: deep sounds are not judged well. Shelter the phone."},
    // at the ends of what is sure: figure/number_text.cpp
    {"under_percent", "under {number}\u00a0%"},
    {"over_percent", "over {number}\u00a0%"},
    // the job: job/analysis.cpp
    {"cannot_be_used", "{name} cannot be used: {trouble}"},
    {"left_out", "{name} is left out: {line}"},
    {"unlike", "Unlike conditions: {line}"},
    {"unlike_states", "As found and \u201c{name}\u201d were recorded under unlike conditions: {line}"},
    {"mark_again", "Complaint {number} names a finding only, not where it is: mark it again."},
    {"nothing_heard", "No recording can be judged yet."},
    {"no_recording", "The state \u201c{name}\u201d has no recording."},
});

struct Pattern {
    std::size_t phrase = 0, own = 0;         ///< own: letters outside of places
    std::vector<std::string_view> literals;  ///< one more than places
    std::vector<std::string_view> places;
};

Pattern pattern_of(std::size_t phrase) {
    Pattern p{phrase, 0, {}, {}};
    auto rest = phrase_table[phrase].english;
    while (true) {
        const auto open = rest.find('{'), close = rest.find('}');
        p.literals.push_back(rest.substr(0, open));
        p.own += p.literals.back().size();
        if (open == std::string_view::npos) return p;
        p.places.push_back(rest.substr(open + 1, close - open - 1));
        rest.remove_prefix(close + 1);
    }
}

/// Those that hold a phrase first, as what they hold is looked at: "{line} (beat)" before "turns of the
/// {name}". Then the ones with the most words of their own: "a piston slaps" before "{name} slaps".
const std::vector<Pattern>& patterns() {
    static const auto all = [] {
        std::vector<Pattern> list;
        for (std::size_t i = 0; i < phrase_table.size(); ++i) list.push_back(pattern_of(i));
        const auto holds = [](const Pattern& p) {
            return std::any_of(p.places.begin(), p.places.end(), holds_a_phrase);
        };
        std::stable_sort(list.begin(), list.end(), [&](const Pattern& a, const Pattern& b) {
            return holds(a) != holds(b) ? holds(a) : a.own > b.own;
        });
        return list;
    }();
    return all;
}

bool may_stand(std::string_view place, std::string_view text) {
    if (text.empty()) return false;
    const bool digit =
        (text[0] >= '0' && text[0] <= '9') || text[0] == '-' || text[0] == '+' || text.starts_with("\u2212");
    if (place == "number" || place == "times" || place == "slope" || place == "from" || place == "to")
        return digit && text.find(' ') == std::string_view::npos;
    return true;
}

/// Fills places from `at` on: the shortest text each, by trying on.
bool fits(const Pattern& p, std::size_t at, std::string_view text, std::vector<std::string_view>& filled) {
    if (!text.starts_with(p.literals[at])) return false;
    text.remove_prefix(p.literals[at].size());
    if (at == p.places.size()) return text.empty();
    const auto next = p.literals[at + 1];
    if (next.empty() && at + 1 == p.places.size()) {
        filled.push_back(text);
        if (may_stand(p.places[at], text)) return true;
        filled.pop_back();
        return false;
    }
    for (auto end = text.find(next, 1); end != std::string_view::npos; end = text.find(next, end + 1)) {
        filled.push_back(text.substr(0, end));
        if (may_stand(p.places[at], filled.back()) && fits(p, at + 1, text.substr(end), filled)) return true;
        filled.pop_back();
    }
    return false;
}

}  // namespace

std::span<const Phrase> phrases() { return phrase_table; }

bool holds_a_phrase(std::string_view place) {
    constexpr std::array<std::string_view, 5> phrase_places{"line", "cause", "way", "step", "says"};
    return std::find(phrase_places.begin(), phrase_places.end(), place) != phrase_places.end();
}

std::optional<PhraseMatch> phrase_of(std::string_view text) {
    for (const auto& p : patterns()) {
        std::vector<std::string_view> filled;
        if (!fits(p, 0, text, filled)) continue;
        // A way that is no way, a line that is no line: the text is another phrase's.
        bool sound = true;
        for (std::size_t i = 0; i < filled.size() && sound; ++i)
            sound = !holds_a_phrase(p.places[i]) || phrase_of(filled[i]).has_value();
        if (!sound) continue;
        PhraseMatch m{p.phrase, {}};
        for (std::size_t i = 0; i < filled.size(); ++i) m.filled.emplace_back(p.places[i], filled[i]);
        return m;
    }
    return std::nullopt;
}

}  // namespace cranknote
