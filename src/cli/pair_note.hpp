// The note of a comparison: a file that is whole in itself, HTML, PDF or text by its name.
#pragma once

#include <string>
#include <vector>

#include "compare/comparison.hpp"
#include "diagnose/diagnose.hpp"
#include "layout/layout.hpp"
#include "note/save.hpp"
#include "note/sentences.hpp"

namespace cranknote::cli {

/// Everything that `compare` found out. Side names are those of the states.
struct PairResult {
    const Layout& layout;
    const Comparison& comparison;
    const std::vector<Suspect>& suspects;
    Conclusion conclusion = Conclusion::open;
    const State &a, &b;
    double false_discovery = 0.05;
    bool same_placement = false;
};

/// Throws Error (wrong call) where the name ends in none of .html, .pdf and .txt, and where a file of that
/// name is there and `existing` says to keep it. To be asked before anything is computed.
void check_note_name(const std::string& path, Existing existing);

/// Writes the note, whole or not at all. Reads the recordings again for its sound clips and their hashes.
void write_pair_note(const PairResult& result, const std::string& path, Existing existing,
                     const Sentences& say = {});

}  // namespace cranknote::cli
