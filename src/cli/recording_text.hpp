// A recording's stretch and conditions in words.
#pragma once

#include <string>

#include "job/job.hpp"

namespace cranknote::cli {

/// "3–12 s of the file, 820 ± 2 rpm, coolant cold, 5 s after the start"; empty where nothing was said.
[[nodiscard]] std::string conditions_text(const job::Recording& recording);

/// "815 rpm, target 820 ± 40: on target"
[[nodiscard]] std::string reading_text(const job::Reading& reading);

/// "2.84×, sometimes, cold"
[[nodiscard]] std::string complaint_text(const job::Complaint& complaint);

}  // namespace cranknote::cli
