// From findings to causes, suspects and the next step. Table of contents of this folder.
//
//   diagnose.hpp     the words that all of it shares: state, cause kind, suspect, conclusion
//   causes.hpp       causes_of: what can be wrong on this engine, and what each cause predicts
//   course.hpp       what stands still in a state, and how a cause's sound goes from one state to another
//   likelihoods.hpp  every number of judgement in one struct, each with its reason
//   evidence.hpp     how probable a complaint's features are under a cause; for and against in words
//   complaints.hpp   findings that behave alike are one complaint
//   pair.hpp         suspects_of_pair: two states compared
//   job.hpp          suspects_of_job: complaints tracked through all states; guilty, repair, stop
//   through_states.hpp  a job's recordings to complaints followed through its states (retrace.hpp: one sound)
//   next.hpp         next_steps: what to do next, by expected bits per minute
//
// Nothing here reads a file, measures a sound or prints. A probability is never shown as certainty.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <vector>

#include "compare/comparison.hpp"
#include "layout/layout.hpp"
#include "portrait/finding.hpp"

namespace cranknote {

enum class CauseKind {
    slip,
    misalignment,
    mesh,
    edge,
    bearing,
    pump,
    blade,
    electrical,
    rub,
    rattle,
    valve,
    knock,
    slap,
    injector,
    exhaust,
    intake,
    firing,
    chain,
    gear,
    clutch,
    outside,
    other
};
inline constexpr int cause_kinds = static_cast<int>(CauseKind::other) + 1;

struct Suspect {
    std::string cause;                ///< "upper timing cover touches the timing belt"
    std::optional<std::string> part;  ///< the layout's name of what is at fault; absent for outside and other
    std::vector<std::string> also;
    CauseKind kind = CauseKind::other;
    double probability = 0.0;                                 ///< 0 to 0.99: never shown as certainty
    std::vector<std::string> tied_with;                       ///< causes that these data cannot tell from it
    std::vector<std::string> evidence_for, evidence_against;  ///< sentences
    std::string separated_by{};                               ///< what would break the tie; empty without one
};

enum class Conclusion { nothing_stands_out, open, tie, named };

/// One state of an engine: what was off, on or set right while it ran.
struct State {
    std::string name;
    std::vector<std::string> off;    ///< as typed
    std::vector<std::string> still;  ///< what stands still by it
    std::vector<std::string> with;   ///< checks: "lock", "ac-on", "mist", ...
    bool repaired = false;
    std::string repaired_what;
    bool cold = false, from_cold_seconds = false;
};

/// What eyes or hands found, for or against a named thing: "shiny rub mark" on "lower timing cover".
struct Saw {
    std::string text;
    std::string on;  ///< a part, drive, cover, pull or engine name
    bool speaks_for = true;
};

/// How loud a complaint was with the microphone held near a named thing.
struct ProbeLevel {
    std::string near;
    std::optional<Decibel> level;  ///< of the complaint; absent: not heard there
};

/// What is known beside the sound.
struct Hands {
    std::vector<std::string> worked_on;  ///< what was worked on before the noise came
    std::vector<Saw> saw;
    std::vector<ProbeLevel> probes;
};

}  // namespace cranknote
