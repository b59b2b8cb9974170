// What to do next: every step's expected information per marginal minute, and when to stop.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "diagnose/posterior.hpp"

namespace cranknote {

struct JobEvidence;

enum class StepKind { check, pull, refit, look, probe, measure, repeat };

/// One thing to do. `off`, `with` and `near` can be handed to `cranknote add` as they are.
struct Step {
    StepKind kind = StepKind::check;
    std::string name;                    ///< "mist", "fan belt off", "look at the lower cover"
    std::vector<std::string> off;        ///< everything that is off while it is done
    std::vector<std::string> with;       ///< checks
    std::optional<std::string> near;     ///< where the microphone is held
    std::vector<std::string> requires_;  ///< pulls that must come off first and are still on
    double minutes = 0.0;                ///< marginal: from where the engine stands now, refitting counted
    double expected_bits = 0.0;
    double bits_per_minute = 0.0;
    std::vector<std::string> cautions;
};

struct Stop {
    bool yes = false;
    std::string why;  ///< one sentence, also where the answer is no
};

/// Minutes of labour that the layout does not state, all common practice.
struct Labour {
    double recording = 2.0;   ///< start, let it settle, 20 s of sound
    double check = 1.0;       ///< press, turn or spray, beside the recording
    double look = 3.0;        ///< a lamp and a mirror, engine off
    double probe = 2.0;       ///< 5 s at each of a few places
    double measure = 6.0;     ///< count teeth or lay a tape, engine off
    double cooling = 45.0;    ///< until an engine may be run again for seconds without coolant moving
    double waiting = .5;      ///< a minute's waiting (cooling, curing) counts as this much labour
    double worth_bits = .05;  ///< a step that tells less is not worth making
    double sure = .9;         ///< one suspect, or an inseparable group, this probable: stop and repair
};

/// What one complaint is believed to come from, as next_steps needs it.
struct Belief {
    Posterior posterior;
    Finding finding;
};

/// Expected information of a test in bits. outcome_given[c][o]: probability of outcome o under cause c.
/// prior sums to 1. Result is never below 0 (de Kleer & Williams 1987, one-step look-ahead, from memory).
[[nodiscard]] double expected_bits(const std::vector<double>& prior,
                                   const std::vector<std::vector<double>>& outcome_given);

/// Steps ranked by bits per minute. Nothing that run_without forbids, nothing already done is proposed.
[[nodiscard]] std::vector<Step> next_steps(const Grounds& g, const std::vector<Cause>& causes,
                                           const JobEvidence& evidence, const std::vector<Belief>& beliefs,
                                           const Labour& labour);

/// How sure one may be of where to repair: of the first suspect; or of it with those that cannot be told from
/// it; or of a place (part or cover, not a whole drive) that several suspects share and that one repair
/// opens.
struct Sureness {
    double probability = 0.0;
    std::string of;
};
[[nodiscard]] Sureness sureness(const std::vector<Suspect>& suspects);

/// Whether to go on looking.
[[nodiscard]] Stop when_to_stop(const std::vector<std::vector<Suspect>>& suspects,
                                const std::vector<Step>& steps, bool repaired_and_gone, const Labour& labour);

}  // namespace cranknote
