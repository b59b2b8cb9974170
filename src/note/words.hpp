// Results in words, for a terminal as narrow as a phone and a reader who is a mechanic. Plain text, UTF-8,
// lines of at most `columns`, each ending in a line feed. Names and file names are shown cleaned of control
// characters; nothing depends on the locale. Nothing is computed here.
#pragma once

#include <string>
#include <vector>

#include "compare/comparison.hpp"
#include "diagnose/diagnose.hpp"
#include "note/sentences.hpp"

namespace cranknote {

/// How texts are set.
struct Wording {
    std::size_t columns = 56;
    Sentences say{};
    std::size_t most_findings = 8;  ///< of each kind; the rest is counted in JSON, not in words
    std::size_t most_suspects = 5;
};

/// What the two sides of a comparison are called: "as found", "alternator belt off".
struct SideNames {
    std::string a = "before", b = "after";
};

/// A file, its speed, the stretch used, what limits it: `cranknote speed`.
[[nodiscard]] std::string words_for(const RecordingSummary& recording, const Wording& wording = {});
/// The same and what stands out: `cranknote portrait`.
[[nodiscard]] std::string words_for(const RecordingSummary& recording, const std::vector<Finding>& findings,
                                    const Wording& wording = {});
/// Conclusion first, then what changed, suspects with for and against, limits: `cranknote compare`.
[[nodiscard]] std::string words_for(const Comparison& comparison, const std::vector<Suspect>& suspects,
                                    Conclusion conclusion, const SideNames& names = {},
                                    const Wording& wording = {});
[[nodiscard]] std::string words_for(const std::vector<Suspect>& suspects, const Wording& wording = {});

// Single sentences, for other texts (the note, the window).

/// "Most likely: fan belt slips (81 %)." For a tie the leading suspect and those tied with it.
[[nodiscard]] std::string conclusion_sentence(Conclusion conclusion, const std::vector<Suspect>& suspects,
                                              const Sentences& say = {});
/// "Crank speed 812 rpm" and how sure, as sentences; first the speed itself.
[[nodiscard]] std::vector<std::string> speed_sentences(const SpeedReading& speed, const Sentences& say = {});
/// How steady the idle is and how alike the cylinders fire; empty where nothing is known of either.
[[nodiscard]] std::vector<std::string> running_sentences(const SpeedReading& speed);
/// Where a finding is: its ratio if it is tied to the crank, else its band.
[[nodiscard]] std::string where_text(const Finding& finding);
/// "20.0×, a tone: gone".
[[nodiscard]] std::string finding_title(const Finding& finding, const Sentences& say = {});
/// The rest about it, a sentence each. `two_sides`: the finding is of a comparison.
[[nodiscard]] std::vector<std::string> finding_sentences(const Finding& finding, bool two_sides,
                                                         const Sentences& say = {});
/// "It comes once in 2.0 crank turns (0.50×)."
[[nodiscard]] std::string beat_sentence(Ratio beat, const Sentences& say = {});
/// A check by its name ("lock") or as the computation says it ("the check lock"), in words; any other text as
/// Sentences::found has it.
[[nodiscard]] std::string check_words(const std::string& check, const Sentences& say = {});
/// With a capital letter where it begins with a small Latin one.
[[nodiscard]] std::string capital(std::string text);
/// "a tone".
[[nodiscard]] std::string character_word(Character character, const Sentences& say = {});
/// "Careful": how grave a remark on a recording is.
[[nodiscard]] std::string severity_word(Severity severity, const Sentences& say = {});
[[nodiscard]] std::string verdict_word(Verdict verdict, const Sentences& say = {});

}  // namespace cranknote
