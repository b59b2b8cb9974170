// How open a question is, in bits, and how much a test is expected to close it.
//
// Probabilities need not sum to one: they are scaled. Entries of 0 are causes ruled out. Negative or NaN
// entries are a mistake of the caller and give NaN. Source: Shannon 1948; choosing the test of least expected
// entropy: de Kleer & Williams 1987, Artif. Intell. 32. What a test costs, and which one to take, is decided
// by diagnose.
#pragma once

#include <span>
#include <vector>

namespace cranknote::signal {

/// -sum p log2 p. 0 for one certain cause (and for an empty or all-zero list), log2 n for n equal ones.
[[nodiscard]] double entropy_bits(std::span<const double> probabilities);

/// Bayes: prior times the likelihood of what was seen under each cause, scaled to sum 1. All zeros when what
/// was seen is impossible under every cause. Equal lengths.
[[nodiscard]] std::vector<double> posterior(std::span<const double> prior,
                                            std::span<const double> likelihood);

/// Mean entropy after a test with several outcomes: outcomes[o][i] = chance of outcome o under cause i
/// (summing to 1 over o for each i).
[[nodiscard]] double expected_entropy_bits(std::span<const double> prior,
                                           std::span<const std::vector<double>> outcomes);

/// The same for a yes-no test aimed at a set of causes: yes comes with chance `sensitivity` when the cause is
/// in the set and with chance 1 - `specificity` when it is not. `aimed[i]` tells whether cause i is in the
/// set. 1 and 1 is a perfect test.
[[nodiscard]] double expected_entropy_bits(std::span<const double> prior, const std::vector<bool>& aimed,
                                           double sensitivity, double specificity);

}  // namespace cranknote::signal
