// An invented engine to judge, and small makers of states and findings.
#pragma once

#include <string>
#include <vector>

#include "diagnose/causes.hpp"
#include "diagnose/pair.hpp"

namespace cranknote::test {

/// Four in line: toothed cam belt under two covers, one ribbed belt with water pump, alternator, steering
/// pump, compressor; fan with shroud.
[[nodiscard]] Layout engine();
/// The engine above, typical front ends, and every preset of samples/layouts, by name.
[[nodiscard]] std::vector<std::pair<std::string, Layout>> presets();

[[nodiscard]] State state(const std::string& name, const std::vector<std::string>& off = {},
                          const std::vector<std::string>& with = {});

/// The cause whose text holds all of these words; fails the test if there is not exactly one.
[[nodiscard]] Cause cause(const std::vector<Cause>& causes, const std::string& words);

/// The suspect's probability by the cause's text, 0 if it is not listed.
[[nodiscard]] double probability(const std::vector<Suspect>& suspects, const std::string& cause);
[[nodiscard]] double sum_of(const std::vector<Suspect>& suspects);

/// A flagged finding of 10 dB change.
[[nodiscard]] Finding changed(Character character, Verdict verdict, double low_hz, double high_hz);

}  // namespace cranknote::test
