// The parts of a note, and what they share while it is being written. Internal to note.cpp and note_*.cpp.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "figure/figures.hpp"
#include "note/note.hpp"

namespace cranknote::note_parts {

/// A document in the making.
struct Writing {
    const NoteData& d;
    const Sentences& say;
    System system;
    figure::Captions captions;
    Document out{};

    template <class T>
    void add(T block) {
        out.blocks.push_back(std::move(block));
    }
    void heading(const std::string& text) { add(document::Heading{text}); }
    void list(Say title, const std::vector<std::string>& texts);
    /// At most half a page high unless told otherwise.
    void picture(figure::Figure figure, const std::string& name, bool in_text, double most_height = 420.0);
};

/// Page one: the verdict, what was complained of, found and done, how sure it is; listening; cautions.
void for_the_owner(Writing& w);
/// A complaint's level through the states.
void levels(Writing& w);
/// The recordings, the comparisons, the suspects.
void evidence(Writing& w);
/// Readings, what was seen, the engine's drawing, how it was measured.
void record(Writing& w);

/// What is not empty of `items`.
[[nodiscard]] std::string joined(const std::vector<std::string>& items, const std::string& between);
/// Where the complaint is and what it is like, without a verdict: that is for each state.
[[nodiscard]] std::string complaint_words(const Finding& finding, const Sentences& say);
/// "(2) text" where there are several complaints.
[[nodiscard]] std::string numbered(const NoteData& d, int id, const std::string& text, const Sentences& say);

}  // namespace cranknote::note_parts
