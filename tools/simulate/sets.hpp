// The fixed sets of cases: `tune` to develop on, `score` to report from. Engines and seeds are disjoint.
#pragma once

#include <string>
#include <vector>

#include "simulate/take.hpp"
#include "simulate/truth.hpp"

namespace cranknote::simulate {

enum class Set { tune, score };

/// What a case is for. Each is a row of targets.
enum class Purpose {
    speed,                     ///< one recording: idle to 3000 rpm (a few to 7000), every phone, codecs
    unchanged,                 ///< pair, one state, phone put down anew
    unchanged_same_placement,  ///< pair, one state, phone untouched
    healthy_off,               ///< pair, b: something healthy is off; phone put down anew
    fault_moved,               ///< pair, a fault on one side, phone put down anew
    fault_untouched,           ///< the same, phone untouched
    fault_repeats,             ///< the same as fault_moved with two recordings a side
    cold,       ///< pair of cold idles falling from 1400 to 1000 rpm: unchanged, healthy_off or changed
    telling,    ///< pair, a: fault found, b: the guilty thing off (or set right)
    job,        ///< three to six states until the guilty thing is off; one or two causes
    clean_job,  ///< three to five states of a healthy engine
    trouble     ///< one recording that is of little or no use; truth.quality says why
};

/// One case: the sound, the truth, and the layout that the mechanic wrote.
struct Case {
    Set set = Set::tune;
    Purpose purpose = Purpose::speed;
    int index = 0;
    std::string id;                        ///< "tune-speed-017"
    std::string layout_toml;               ///< the mechanic's layout (not the truth)
    std::string half_unknown_layout_toml;  ///< the same by one who left half of it out
    int cylinders = 0;
    std::vector<Take> takes;  ///< pairs: side a first; jobs: in order of time
    CaseTruth truth;
};

[[nodiscard]] std::string name_of(Set set);
[[nodiscard]] std::string name_of(Purpose purpose);
[[nodiscard]] const std::vector<Purpose>& all_purposes();
/// The purpose that `name_of` calls so; throws Error.
[[nodiscard]] Purpose purpose_named(const std::string& name);

/// How many cases a set has for a purpose, and the first how many of them the everyday check uses.
[[nodiscard]] int cases_in(Purpose purpose);
[[nodiscard]] int cases_in_check(Purpose purpose);

/// Makes one case, without making any other; the same on every call. index from 0 to cases_in(purpose) - 1.
/// Needs the ffmpeg command where a take has a codec; throws Error without it.
[[nodiscard]] Case make_case(Set set, Purpose purpose, int index);

/// The truth of a case as JSON (schema 1, two-space indent): case, takes, states, faults, tracks.
[[nodiscard]] std::string truth_json(const Case& c);

/// Writes layout.toml, truth.json and one sound file a take into an existing or new folder.
void write_case(const Case& c, const std::string& folder);

}  // namespace cranknote::simulate
