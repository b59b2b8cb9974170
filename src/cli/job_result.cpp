#include "cli/job_result.hpp"

namespace cranknote::cli {

JobResult result_of(const job::Analysis& analysis) {
    JobResult result;
    result.evidence = analysis.evidence;
    for (const auto& listened : analysis.recordings) {
        JobRecording recording;
        if (listened.examined) recording.summary = listened.examined->summary;
        recording.trouble = listened.trouble;
        result.recordings.push_back(std::move(recording));
    }
    for (const auto& c : analysis.comparisons)
        result.pairs.push_back({c.state, c.same_placement, c.comparison});
    if (analysis.job.repair) result.repair = analysis.job.repair->comparison;
    result.verdict = analysis.verdict;
    result.remarks = analysis.remarks;
    return result;
}

}  // namespace cranknote::cli
