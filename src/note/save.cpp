#include "note/save.hpp"

#include <unistd.h>

#include <cerrno>

#include "job/disk.hpp"
#include "units/error.hpp"

namespace cranknote {

namespace {

[[noreturn]] void there_already(const std::filesystem::path& file) {
    throw Error("is there already", file.string(), "choose another name, or say --replace",
                Error::Kind::wrong_call);
}

}  // namespace

void check_free(const std::filesystem::path& file, Existing existing) {
    std::error_code ignored;
    if (existing == Existing::keep && std::filesystem::exists(std::filesystem::symlink_status(file, ignored)))
        there_already(file);
}

void save_note(const std::filesystem::path& file, std::string_view bytes, Existing existing) {
    if (existing == Existing::replace) return job::write_whole(file, bytes);
    check_free(file, existing);
    std::error_code ignored;
    auto beside = file;
    beside.replace_filename(std::string(job::temporary_prefix) + job::random_hex(8));
    job::write_whole(beside, bytes);
    // A link is made only where the name is free, in one step; some disks (sticks) know no links.
    const bool linked = ::link(beside.c_str(), file.c_str()) == 0;
    const int trouble = errno;
    std::filesystem::remove(beside, ignored);
    if (linked) return;
    if (trouble == EEXIST) there_already(file);
    job::write_whole(file, bytes);
}

}  // namespace cranknote
