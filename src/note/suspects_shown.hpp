// Suspects as they are read: a reason that several share is said once, and so is a tie between two.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "diagnose/diagnose.hpp"
#include "note/sentences.hpp"

namespace cranknote {

struct ShownSuspect {
    const Suspect* suspect = nullptr;
    std::vector<std::string> evidence_for, evidence_against;  ///< what is its own
    std::vector<std::string> tied_with;                       ///< that no earlier one has named already
};

struct ShownSuspects {
    /// Those whose common reasons are said once: all that the data cannot tell from the first or, without a
    /// tie, all that are shown with reasons.
    std::vector<const Suspect*> sharing;
    bool all_share = false;                               ///< none with reasons is shown besides
    std::vector<std::string> shared_for, shared_against;  ///< what speaks for, and against, all of `sharing`
    std::vector<ShownSuspect> each;                       ///< the most probable first
    double rest = 0.0;                                    ///< probability of those that are not shown, summed
};

/// At most `most`; beyond the first only those of `least` and more. Points into `suspects`.
[[nodiscard]] ShownSuspects shown_suspects(const std::vector<Suspect>& suspects, std::size_t most,
                                           double least);
/// What stands over the shared reasons.
[[nodiscard]] std::string shared_title(const ShownSuspects& shown, const Sentences& say);

/// The first suspect and those that cannot be told from it, directly or through another; alone without a tie.
[[nodiscard]] std::vector<const Suspect*> tied_group(const std::vector<Suspect>& suspects);

}  // namespace cranknote
