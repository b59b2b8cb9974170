#include "cli/write_leaves.hpp"

#include "job/disk.hpp"
#include "note/save.hpp"
#include "units/error.hpp"

namespace cranknote::cli {
namespace {
namespace fs = std::filesystem;

/// `name`, or the first of name-2, name-3, ... of which none of the files is there.
std::string free_name(const fs::path& folder, const std::string& name, const std::vector<Leaf>& leaves) {
    for (int number = 1; number < 1000; ++number) {
        const auto base = number == 1 ? name : name + "-" + std::to_string(number);
        bool free = true;
        for (const auto& leaf : leaves) {
            std::error_code ignored;
            free = free && !fs::exists(fs::symlink_status(folder / (base + leaf.ending), ignored));
        }
        if (free) return base;
    }
    throw Error("there are too many of that name", (folder / name).string(), "say --name or --replace");
}

}  // namespace

void check_place(const LeafPlace& place) {
    const auto& name = place.chosen;
    if (name.empty()) return;
    if (name.find('/') != std::string::npos || !job::stays_inside(name))
        throw Error("a file's name without its ending is wanted", "--name", "the folder is said by --out",
                    Error::Kind::wrong_call);
}

std::vector<fs::path> write_leaves(const LeafPlace& place, const std::vector<Leaf>& leaves) {
    std::vector<fs::path> files;
    if (leaves.empty()) return files;
    std::error_code trouble;
    fs::create_directories(place.folder, trouble);
    if (!fs::is_directory(place.folder))
        throw Error("the folder cannot be made", place.folder.string(), "is there a file of that name?");
    const auto wanted = place.chosen.empty() ? place.usual : place.chosen;
    const bool kept = place.replace || !place.chosen.empty();
    const auto name = kept ? wanted : free_name(place.folder, wanted, leaves);
    const auto existing = place.replace ? Existing::replace : Existing::keep;
    for (const auto& leaf : leaves) check_free(place.folder / (name + leaf.ending), existing);
    for (const auto& leaf : leaves) {
        files.push_back(place.folder / (name + leaf.ending));
        save_note(files.back(), leaf.bytes, existing);
    }
    return files;
}

}  // namespace cranknote::cli
