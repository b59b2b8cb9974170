// A job that can be shown to strangers.
#pragma once

#include <map>
#include <string>

#include "job/job.hpp"

namespace cranknote::job {

struct Anonymous {
    Job job;
    std::map<std::string, std::string> files;  ///< an original's name in the job -> its name from now on
};

/// Leaves out vehicle, registration, mileage, job card, owner, who, title, the way to a sister engine's job
/// and whatever a newer program wrote; originals are called after their recordings ("recordings/r1.m4a"), and
/// where the owner, who, the registration or the job card's number stand in other texts, "…" stands instead.
/// The layout keeps what it says, without comments. Kept: engine code, dates, states, conditions, complaints,
/// what was seen, readings. Not looked at: what is in the sound files themselves. Throws Error where the
/// layout cannot be read.
[[nodiscard]] Anonymous without_owner(const Job& job);

}  // namespace cranknote::job
