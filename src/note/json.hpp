// The results as JSON, exactly as the contract (schema 1) has them. One writer a thing; every surface that
// exports numbers uses these, so that they agree.
//
// Numbers are finite or null (null: not known), rounded to what the measurement is good for: dB and rpm to
// 0.1, Hz to 0.01, ratios to 0.0001, seconds to 0.001, probabilities to 0.0001. Text that is not UTF-8 is
// repaired with the replacement character. Nothing depends on the locale.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "compare/comparison.hpp"
#include "diagnose/diagnose.hpp"

namespace cranknote {

using Json = nlohmann::ordered_json;  ///< keeps the contract's order of keys

inline constexpr int json_schema = 1;

// Rounded values, or null when not finite.
[[nodiscard]] Json json_of(Decibel v);
[[nodiscard]] Json json_of(Rpm v);
[[nodiscard]] Json json_of(Hertz v);
[[nodiscard]] Json json_of(Ratio v);
[[nodiscard]] Json json_of(Seconds v);
[[nodiscard]] Json probability_json(double v);

/// The "speed" object: rpm, interval, range, confidence, alternatives, track. Without a mean the rpm, its
/// interval and range are null.
[[nodiscard]] Json to_json(const SpeedReading& speed);
[[nodiscard]] Json to_json(const QualityRemark& remark);
/// One recording with its speed and quality: what `cranknote speed --json` prints, and one entry of a
/// comparison's `a` and `b`.
[[nodiscard]] Json to_json(const RecordingSummary& recording);
[[nodiscard]] Json to_json(const Explanation& explanation);
[[nodiscard]] Json to_json(const Finding& finding);
[[nodiscard]] Json to_json(const Suspect& suspect);
[[nodiscard]] Json to_json(const State& state);
/// What `cranknote compare --json` prints.
[[nodiscard]] Json to_json(const Comparison& comparison, const std::vector<Suspect>& suspects,
                           Conclusion conclusion);

/// A finding of a single recording: no b_db, no change, and both presences are its own.
[[nodiscard]] Json portrait_finding_json(const Finding& finding);
/// What `cranknote portrait --json` prints.
[[nodiscard]] Json portrait_json(const RecordingSummary& recording, const std::vector<Finding>& findings);

/// JSON as text, one line, ending in a line feed.
[[nodiscard]] std::string text_of(const Json& json);

}  // namespace cranknote
