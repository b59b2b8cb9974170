// The repair note: what the owner sees, what a colleague believes, what settles an argument a year later.
// Table of contents of this folder.
//
//   note.hpp        what a note is made of (this file), and the note as a document
//   document.hpp    a document as plain blocks
//   html.hpp        one self-contained HTML file, clips playing in it
//   pdf.hpp         PDF by Cairo and Pango, A4 or US Letter
//   plain_text.hpp  text to paste
//   numbers.hpp     the numbers as CSV and JSON
//   clips.hpp       sound clips, cut, level-matched, encoded
//   card.hpp        the recording card to hang in the shop
//   job_note.hpp    a whole job as a note
//   json.hpp        results as the contract's JSON; words.hpp: results in words
//   sentences.hpp   every sentence in one table
//   suspects_shown.hpp  suspects as they are read, each reason once
//   note_parts.hpp  the parts of a note (note_owner, note_evidence, note_record), internal
//   save.hpp        writing, whole or not at all
#pragma once

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "compare/comparison.hpp"
#include "diagnose/job.hpp"
#include "figure/figures.hpp"
#include "layout/layout.hpp"
#include "note/clips.hpp"
#include "note/document.hpp"
#include "note/sentences.hpp"
#include "note/units_shown.hpp"

namespace cranknote {

/// What was measured or set besides sound.
struct NoteReading {
    std::string what;
    std::optional<double> value;
    std::string unit;
    std::optional<double> target, tolerance;  ///< in the same unit
    std::string when;
};

/// A state with its recordings, in order of time.
struct NoteState {
    State state;
    std::vector<RecordingSummary> recordings;
    std::string conditions;  ///< in words: "cold, 20 s after the start, beside the left wing"
    std::string when;        ///< in words
};

/// A file and its SHA-256.
struct NoteSource {
    std::string file, sha256;
};

/// Everything a note may say; what is empty is left out.
struct NoteData {
    std::string kind;                                        ///< what stands on top; empty: "Repair note"
    std::string title;                                       ///< the job's
    std::vector<std::pair<std::string, std::string>> facts;  ///< "Vehicle", "Registration", ... as typed
    std::string shop, by;                                    ///< who stands for it
    std::string date;                                        ///< in words, as it is to be printed
    std::string created;                                     ///< ISO 8601, for the document's properties
    std::string complaint;                                   ///< in the mechanic's or owner's words
    std::string conditions;                                  ///< in words
    std::vector<std::string> worked_on;
    std::optional<Layout> layout;
    std::vector<NoteReading> readings;
    std::vector<NoteState> states;
    std::optional<Comparison> comparison;         ///< the pair that tells the most
    std::string side_a, side_b;                   ///< what its sides are called
    std::optional<Comparison> repair_comparison;  ///< as found against repaired, if that is another pair
    std::vector<ComplaintVerdict> complaints;
    std::vector<Suspect> guilty;  ///< of the whole job, or of the pair
    Conclusion conclusion = Conclusion::open;
    std::vector<Saw> saw;
    std::vector<std::string> done;  ///< what was set right
    std::optional<RepairVerdict> repair;
    Stop stop;                       ///< whether looking further is worth it
    std::vector<Step> next_steps{};  ///< by worth, best first
    std::vector<std::string> not_known;
    std::vector<std::string> cautions;
    std::vector<Clip> clips;
    std::vector<std::string> settings;  ///< sentences: how it was computed
    std::vector<NoteSource> sources;    ///< the recordings
    std::string program;                ///< name and version
    bool invented = false;              ///< demo data: said on top
};

struct NoteSettings {
    Sentences say{};
    System system = System::metric;
};

/// The note as blocks: the first page alone tells the owner, the evidence follows.
[[nodiscard]] Document note_document(const NoteData& data, const NoteSettings& settings = {});

/// The first-depth note: two states compared. States are named as the figure and the text call them.
[[nodiscard]] NoteData note_of_pair(const Comparison& comparison, const std::vector<Suspect>& suspects,
                                    Conclusion conclusion, const Layout* layout, const State& a,
                                    const State& b, const Sentences& say = {});

/// How a comparison was computed, a sentence each. `false_discovery` is CompareSettings' own.
[[nodiscard]] std::vector<std::string> method_of(double false_discovery, bool same_placement,
                                                 const Sentences& say = {});

/// The words that stand in figures, from the table of sentences.
[[nodiscard]] figure::Captions captions_of(const Sentences& say);

}  // namespace cranknote
