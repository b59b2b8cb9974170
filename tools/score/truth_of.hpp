// The truth beside a simulated case, as far as scoring needs it.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace cranknote::score {

struct TrueCause {
    std::string kind;
    std::optional<std::string> part;
    std::vector<std::string> also;
    std::string words;
};

struct FaultInTake {
    TrueCause cause;
    double level_db = 0.0, low_hz = 0.0, high_hz = 0.0, presence = 1.0;
    std::vector<std::string> characters;  ///< the best word first
    std::vector<double> ratios, beats;    ///< the strongest first
    std::string follows, beat_follows;
};

struct TrueTake {
    std::string path;
    char side = 'a';
    int placement = 0;
    std::string state;
    std::vector<std::string> off, with;
    bool repaired = false, cold = false;
    std::optional<double> rpm;
    std::vector<FaultInTake> faults;
    std::vector<std::string> quality;
};

struct TrueCase {
    std::string id, folder, relation, purpose;
    int cylinders = 4;
    bool same_placement = false;
    std::optional<char> fault_side;
    std::vector<TrueCause> guilty;
    std::vector<TrueTake> takes;
};

/// Reads FOLDER/truth.json. Throws Error where it is not there or not one.
[[nodiscard]] TrueCase read_truth(const std::string& folder);

}  // namespace cranknote::score
