// The changes that a person makes to a job, with their rules. Pure: a job in, the changed job out; a wrong
// call throws Error (wrong call) and leaves the job as it was.
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "job/job.hpp"
#include "layout/layout.hpp"

namespace cranknote::job {

/// The checks that a state may be recorded with: tests without tools.
inline constexpr std::array<std::string_view, 10> checks{
    "ac-on",      "lock",        "lamps-on", "mist",         "run-up",
    "held-speed", "clutch-down", "in-gear",  "cylinder-cut", "shut-off"};
/// When a complaint comes, beside always and sometimes.
inline constexpr std::array<std::string_view, 4> occasions{"cold", "warm", "wet", "under load"};
inline constexpr std::string_view first_state = "as found";

/// What a person says about a recording when adding it.
struct Addition {
    std::string state;
    std::vector<std::string> off;  ///< everything that is off in that state
    std::vector<std::string> with;
    bool repaired = false;
    std::string repaired_what;
    Recording recording;  ///< its file, stretch and conditions; `id` and `state` are filled on entering
};

/// What the job made of it.
struct Understood {
    std::string id;                  ///< the recording's
    bool new_state = false;          ///< it is the first recording of its state
    std::size_t place = 0;           ///< the state's place in the order of time, from 0
    std::vector<std::string> off;    ///< what is off, pulls written out
    std::vector<std::string> still;  ///< what stands still by it
    std::string caution;             ///< how to run it like this; empty: no objection
    std::vector<std::string> remarks;
};

/// Enters a recording and, where it is new, its state. Rules:
/// - the first state is "as found";
/// - a state keeps what is off and what it is recorded with: another `off` or `with` needs another name;
/// - names are the layout's, checks are those above;
/// - nothing is recorded with things off without which the engine must never run;
/// - one stretch of one file is one recording.
/// A new state goes behind those that were recorded before it, where times are known, else to the end.
Understood enter_recording(Job& job, const Layout& layout, Addition addition);

/// Marks the noise to chase: a finding's id, or a ratio, or a band. Marked again, its words are replaced.
/// Returns the complaint's id.
int mark(Job& job, Complaint complaint);

/// Enters what eyes and hands found on a named thing.
void enter_saw(Job& job, const Layout& layout, Saw saw);

/// Enters a reading. The recording it names must be there.
void enter_reading(Job& job, Reading reading);

/// Says that these were worked on before the noise came; names are the layout's.
void enter_worked_on(Job& job, const Layout& layout, const std::vector<std::string>& names);

/// Throws Error (wrong call), with the nearest valid name, unless `name` is one that things can be said of:
/// a part, drive, cover, pull or engine name. `option` is what it was given for.
void require_name(const Layout& layout, const std::string& name, const std::string& option);

}  // namespace cranknote::job
