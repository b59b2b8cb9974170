// A document as plain blocks, before it is a page, a web page or text. The three writers (html.hpp, pdf.hpp,
// plain_text.hpp) know blocks and nothing of engines. Every text is plain: no markup in it means anything.
#pragma once

#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "figure/figure.hpp"
#include "note/clips.hpp"

namespace cranknote::document {

struct Heading {
    std::string text;
    bool minor = false;  ///< of a part of what the heading above it names
};

struct Paragraph {
    std::string text;
    enum class Tone { normal, lead, faint } tone = Tone::normal;
};

/// What the reader must see first: a headline and a few sentences, set apart. The mark says it by form too.
struct Callout {
    enum class Mark { good, bad, open } mark = Mark::open;
    std::string headline;
    std::vector<std::string> sentences;
};

/// Labels with values, side by side. `wide`: one below the other, for values that are sentences, of several
/// lines where they hold line feeds.
struct Facts {
    std::vector<std::pair<std::string, std::string>> rows;
    bool wide = false;
};

/// A list; `mark` stands in front of each item ("•", "+", "−", "☐").
struct Items {
    struct Item {
        std::string mark, text;
    };
    std::vector<Item> items;
};

/// A title with a number in front, and a list below: a suspect with what speaks for and against it.
struct Entry {
    std::string number, title;
    Items items;
};

struct Table {
    struct Column {
        std::string title;
        bool right = false;          ///< numbers
        double share = 1.0;          ///< of the width
        bool named_in_text = false;  ///< plain text writes its title before the value
    };
    std::vector<Column> columns;
    std::vector<std::vector<std::string>> rows;
};

struct Picture {
    figure::Figure figure;
    std::string caption;
    bool in_text = true;  ///< plain text says what it shows
    std::string name;     ///< of its file, where figures are written one by one: "comparison"
};

struct Sounds {
    std::vector<Clip> clips;
    std::string title;     ///< above them, where they play
    std::string about;     ///< how they were made
    std::string on_paper;  ///< what stands in their place where nothing can play
};

/// Lines to write on by hand, with what to write in front.
struct Blanks {
    std::vector<std::string> labels;
    bool two_columns = true;
};

/// In small type at the end.
struct SmallPrint {
    std::vector<std::string> lines;
};

using Block = std::variant<Heading, Paragraph, Callout, Facts, Items, Entry, Table, Picture, Sounds, Blanks,
                           SmallPrint>;

struct Document {
    std::string title;
    std::string subtitle;
    std::string language = "en";  ///< BCP 47
    std::string author, subject;
    std::string created;    ///< ISO 8601; empty: not said
    std::string footer;     ///< at the foot of each page, before "page 1 of 3"
    std::string page_of;    ///< "page {page} of {pages}"
    double enlarge = 1.0;   ///< of printed type: a card on a wall is read from further away
    bool one_page = false;  ///< print smaller, down to two thirds, until it is one page
    std::vector<Block> blocks;
};

}  // namespace cranknote::document

namespace cranknote {
using document::Document;
}  // namespace cranknote
