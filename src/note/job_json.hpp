// A job's suspects as the contract's JSON.
#pragma once

#include <string>
#include <vector>

#include "diagnose/job.hpp"
#include "note/json.hpp"

namespace cranknote {

[[nodiscard]] std::string_view name_of(StepKind v);
[[nodiscard]] std::string_view name_of(RepairOutcome v);
[[nodiscard]] Json to_json(const Step& step);
[[nodiscard]] Json to_json(const ComplaintVerdict& complaint);
[[nodiscard]] Json to_json(const RepairVerdict& repair);

/// What `cranknote suspects --json` prints. `job` is the folder as it was named.
[[nodiscard]] Json suspects_json(const std::string& job, const std::vector<State>& states,
                                 const JobVerdict& verdict, const std::vector<std::string>& remarks);

}  // namespace cranknote
