// How the window stands: what a person chose to see and is about to do. Plain data; nothing of it is saved in
// the job.
#pragma once

#include <array>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "desk/layout_draft.hpp"
#include "figure/theme.hpp"
#include "layout/layout.hpp"
#include "units/units.hpp"

namespace cranknote::desk {

/// Where there is no room for all at once, one of these is seen.
enum class Page { day, engine, sound, answers };

/// What lies over the sheet.
enum class Over {
    nothing,
    help,
    start,
    new_job,
    layout,
    record,
    add,
    saw,
    near,
    reading,
    note,
    caution,
    leave
};

/// What the figure of sounds shows.
enum class SoundTab { change, swelling, time };

/// The state that is recorded next: what is off now, and how the engine is run.
struct NextState {
    std::set<std::string> off;
    std::set<std::string> with;
    bool repaired = false;
    std::string repaired_what;
    std::string name;             ///< as typed; empty: the name that follows from the above
    bool same_placement = false;  ///< the phone was not touched since the last recording
    std::optional<std::string> near;
    int warmth = 0;   ///< 0 not said, 1 cold, 2 warm
    std::string rpm;  ///< crank speed as typed: "820" or "820~2"; empty: from the sound
    bool operator==(const NextState&) const = default;
};

/// The three questions of a new job, and where it goes.
struct NewJob {
    std::string title;
    int preset = 0;  ///< index into the layouts offered; -1: a number of cylinders
    int cylinders = 4;
    std::set<std::string> worked_on;
    std::string toml;                ///< of the preset chosen; filled by the frame
    std::vector<std::string> names;  ///< what can be chosen as worked on, of `names_of` this preset
    int names_of = -2;
    std::string folder;
    bool folder_typed = false;
    std::string place, date;  ///< where jobs usually go, and today: for a folder to propose
    std::string trouble;
};

/// A reading while it is typed.
struct ReadingDraft {
    std::size_t kind = 0;  ///< index into reading_kinds()
    std::string value, target, tolerance;
    std::string recording;  ///< id it belongs to; empty: the whole job
};

/// The layout while it is edited.
struct LayoutDraft {
    bool begun = false, edited = false;
    int changes = 0;  ///< counts what the drawing must follow
    Layout layout;
    std::vector<std::string> names, ratios;  ///< of its parts, in its order
    std::string part;                        ///< chosen
    PartFields fields;
    std::string sentence, trouble;
};

/// "PLACE/DATE TITLE", without what a folder's name cannot have.
[[nodiscard]] std::string proposed_folder(const NewJob& job);

struct ViewState {
    figure::Mode mode = figure::Mode::light;
    double scale = 1.0;
    Page page = Page::answers;
    bool engine_in_middle = true;  ///< where engine and sound share a place: which is seen

    std::size_t a = 0, b = 0;          ///< the states compared
    std::optional<std::size_t> shown;  ///< whose covers and belts are drawn off; absent: the next state's
    NextState next;

    SoundTab tab = SoundTab::change;
    bool over_hz = false;
    std::optional<std::pair<double, double>> range;  ///< of the x axis; absent: all
    std::optional<double> drag_from;                 ///< px within the figure

    std::optional<std::size_t>
        state_under;                    ///< the state below the pointer: what is dropped there goes to it
    std::string lit_part, lit_finding;  ///< below the pointer
    std::string reading_off;            ///< what the pointer is on in the figure of sounds, in words
    std::string finding;                ///< chosen
    std::string suspect;                ///< whose for and against is open
    std::string recording;              ///< chosen
    std::string drawn_through_time;     ///< the recording whose picture through time was asked for

    Over over = Over::nothing;
    std::string caution;     ///< what Over::caution says
    bool cautioned = false;  ///< it was said in this job
    NewJob new_job;
    std::string saw_text, saw_on;
    bool saw_for = true;
    ReadingDraft reading;
    LayoutDraft draft;
    bool playing = false;
    bool at_b = false;
    bool alone = false;  ///< play the chosen finding's band alone
    std::string said;    ///< the last thing worth telling, at the bottom
    bool said_is_trouble = false;
};

}  // namespace cranknote::desk
