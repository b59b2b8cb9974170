// A job's analysis as the note takes it.
#pragma once

#include "job/analysis.hpp"
#include "note/job_note.hpp"

namespace cranknote::cli {

[[nodiscard]] JobResult result_of(const job::Analysis& analysis);

}  // namespace cranknote::cli
