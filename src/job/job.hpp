// One engine, one visit: the job as data. Table of contents of this folder.
//
//   job.hpp       the data, plain structs
//   json.hpp      the data as job.json and back
//   folder.hpp    the job on disk: open, save, undo, recover, lock
//   edit.hpp      the changes that a person makes, with their rules (add a recording, mark, saw, reading)
//   add.hpp       a sound file into a job
//   cache.hpp     bytes by content and settings, to be thrown away at will
//   verify.hpp    are the originals what they were
//   pack.hpp      a job as one file for a colleague, and back (pack_reader.hpp: one from a stranger)
//   import.hpp    a card with a mess of files: what might be what
//   evidence.hpp  a job as the pipeline takes it
//   analysis.hpp  a whole job computed (portrait_cache.hpp: a recording's portrait as bytes)
//   disk.hpp      the machine below: atomic writes, paths that stay inside, hashes
//   moment.hpp    date and time
//
// Everything that a person may not know is std::optional; null in the file.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "job/moment.hpp"
#include "speed/speed.hpp"
#include "units/units.hpp"

namespace cranknote::job {

using Celsius = Quantity<struct CelsiusTag>;

/// Coolant: felt (cold, warm) or read (°C).
enum class Warmth { cold, warm };
using Coolant = std::variant<Warmth, Celsius>;

/// One state of the engine, in the job's order of time; the first is "as found".
struct State {
    std::string name;
    std::vector<std::string> off;   ///< everything that is off, as typed (a pull stands for its list)
    std::vector<std::string> with;  ///< checks that apply: "lock", "ac-on", "mist", ...
    bool repaired = false;          ///< something was set right from this state on
    std::string repaired_what;      ///< the layout's name of it; empty: not said
    std::string unknown;            ///< fields of a newer version, JSON text; kept on saving
};

/// A stretch of sound made in one state. Several may share a file.
struct Recording {
    std::string id;      ///< "r1": unique in the job
    std::string file;    ///< inside the job's folder: "recordings/NAME"
    std::string sha256;  ///< of the untouched original, 64 hex digits
    std::uint64_t size = 0;
    Moment modified{};  ///< the original's own time, usually when the phone stopped recording
    std::string state;  ///< a state's name
    std::optional<Seconds> from, to;
    std::optional<std::string> placement;  ///< recordings of one placement share the phone untouched
    std::optional<std::string> near;       ///< the named part that the microphone was held near
    std::optional<SpeedTag> rpm;           ///< entered crank speed
    std::optional<int> pickup_channel;     ///< channel of an ignition pickup, from 0
    std::optional<Seconds> since_start;    ///< engine running for so long when it begins
    std::optional<Coolant> coolant;
    std::vector<std::string> loads;  ///< "headlamps", "rear window heater"
    std::optional<std::string> weather, notes;
    std::optional<When> at;  ///< when it was recorded, if said
    std::string unknown;
};

enum class Comes { always, sometimes };

/// The noise to chase: a finding by its id, or where it is, as the mechanic marked it.
struct Complaint {
    int id = 0;                          ///< from 1, unique in the job
    std::optional<std::string> finding;  ///< "f1" of the as-found result, at the time of marking
    std::optional<Ratio> ratio;
    std::optional<Ratio> beat_ratio;
    std::optional<std::pair<Hertz, Hertz>> hz;
    std::optional<Comes> comes;
    std::vector<std::string> when;  ///< "cold", "warm", "wet", "under load"
    std::optional<Moment> at;
    std::string unknown;
};

/// What eyes and hands found.
struct Saw {
    std::string text;
    std::string on;          ///< the layout's name
    bool speaks_for = true;  ///< for or against it as the cause
    std::optional<When> at;
    std::string unknown;
};

/// What was measured or set besides sound: idle speed, ignition timing, belt deflection.
struct Reading {
    std::string what;
    double value = 0.0;
    std::optional<std::string> unit;
    std::optional<double> target;
    std::optional<double> tolerance;       ///< ± around the target
    std::optional<std::string> recording;  ///< id of the recording it belongs to; absent: the whole job
    std::optional<When> at;
    std::string unknown;
};

/// Inside the target's tolerance (limits included)? Absent without a target and tolerance.
[[nodiscard]] std::optional<bool> on_target(const Reading& reading);

/// A sister engine: another job that this one started from.
struct Like {
    std::string path;  ///< where it was, from this job's parent folder; a hint
    std::string id;    ///< which job it must be
    std::string unknown;
};

struct Job {
    std::string id;               ///< 32 hex digits, for life
    int revision = 0;             ///< counts saves
    std::optional<Moment> saved;  ///< when this revision was saved
    std::string change;           ///< what this revision changed, one sentence

    std::optional<std::string> title, vehicle, registration, mileage, engine_code, job_card, owner, who;
    std::optional<When> when;  ///< the visit

    std::optional<std::string> layout;  ///< the text of layout.toml, or
    std::optional<int> cylinders;       ///< a typical front end with so many cylinders
    std::vector<std::string> worked_on;
    std::optional<Like> like;

    std::vector<State> states;
    std::vector<Recording> recordings;
    std::vector<Complaint> complaints;
    std::vector<Saw> saw;
    std::vector<Reading> readings;
    std::string unknown;

    [[nodiscard]] const State* state(std::string_view name) const;        ///< nullptr: there is none
    [[nodiscard]] const Recording* recording(std::string_view id) const;  ///< nullptr: there is none
};

}  // namespace cranknote::job
