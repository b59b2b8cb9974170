// A job as job.json, and back. Schema 1: fields may be added, none renamed.
#pragma once

#include <string>
#include <string_view>

#include "job/job.hpp"

namespace cranknote::job {

inline constexpr int schema = 1;

/// The text of job.json: always the same order of fields, two spaces of indent, null for what is not known,
/// a line break at the end. The layout is not in it, only its hash (the text is layout.toml beside it).
/// Fields of a newer version come last in their object. Text that is not UTF-8 has its bad bytes replaced.
[[nodiscard]] std::string to_json(const Job& job);

/// What job.json says. `layout` is absent in the result: the folder reads it.
struct ParsedJob {
    Job job;
    std::string layout_sha256;            ///< which layout.toml belongs to it; empty: none
    int schema = cranknote::job::schema;  ///< above ours: written by a newer program, not to be saved over
};

/// Throws Error naming `source`, the field and what was expected: broken JSON, a wrong type, a number out of
/// its range, a file outside of recordings/, two recordings of one id, a recording of a state that is not
/// there. Nesting beyond 64 is refused.
[[nodiscard]] ParsedJob parse_job(std::string_view text, std::string_view source);

}  // namespace cranknote::job
