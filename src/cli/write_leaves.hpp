// Several files of one name, as a note or a card is made of, put into a folder without harm to what is there.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace cranknote::cli {

/// One file to be written.
struct Leaf {
    std::string ending;  ///< ".html", "-comparison.png"
    std::string bytes;
};

struct LeafPlace {
    std::filesystem::path folder;  ///< made if it is not there
    std::string usual;     ///< name without ending; where files of it are there, usual-2, usual-3, ...
    std::string chosen;    ///< a name that was asked for: kept to, an error where it is taken
    bool replace = false;  ///< over what is there
};

/// Throws Error (wrong call) where the chosen name is none.
void check_place(const LeafPlace& place);

/// Writes each file whole or not at all, none where one of the chosen name is there. Returns where they are.
std::vector<std::filesystem::path> write_leaves(const LeafPlace& place, const std::vector<Leaf>& leaves);

}  // namespace cranknote::cli
