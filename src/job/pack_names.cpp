#include "job/pack_names.hpp"

#include <glib.h>

#include <algorithm>
#include <array>
#include <memory>

#include "job/add.hpp"
#include "job/disk.hpp"
#include "job/pack_reader.hpp"

namespace cranknote::job {
namespace {

using Text = std::unique_ptr<char, decltype(&g_free)>;

bool only(std::string_view text, std::string_view allowed) {
    return !text.empty() && text.find_first_not_of(allowed) == text.npos;
}

/// What is between a beginning and an end; empty where the name is not like that.
std::string_view between(std::string_view name, std::string_view begin, std::string_view end) {
    if (name.size() <= begin.size() + end.size() || !name.starts_with(begin) || !name.ends_with(end))
        return {};
    return name.substr(begin.size(), name.size() - begin.size() - end.size());
}

/// job.000012.json, undone.000013.json, layout.0123456789abcdef.toml, damaged.2026-03-01T09:30:00Z.json
bool is_version(std::string_view name) {
    constexpr std::string_view digits = "0123456789", hex = "0123456789abcdef", time = "0123456789-T:Z";
    return only(between(name, "job.", ".json"), digits) || only(between(name, "undone.", ".json"), digits) ||
           only(between(name, "layout.", ".toml"), hex) || only(between(name, "damaged.", ".json"), time);
}

}  // namespace

std::string folded_name(const std::string& name) {
    const Text folded(g_utf8_casefold(name.c_str(), -1), &g_free);
    const Text composed(g_utf8_normalize(folded.get(), -1, G_NORMALIZE_ALL_COMPOSE), &g_free);
    return composed ? composed.get() : name;
}

bool is_safe_name(const std::string& name) {
    if (!stays_inside(name) || g_utf8_validate(name.c_str(), -1, nullptr) == FALSE) return false;
    std::size_t begin = 0;
    for (;;) {
        const auto slash = name.find('/', begin);
        const auto step = name.substr(begin, slash == name.npos ? slash : slash - begin);
        if (safe_file_name(step) != step) return false;
        if (slash == name.npos) return true;
        begin = slash + 1;
    }
}

bool is_name_of_job(std::string_view name) {
    if (name == "job.json" || name == "layout.toml") return true;
    if (name.starts_with("history/")) return is_version(name.substr(8));
    return !between(name, "recordings/", "").empty() || !between(name, "notes/", "").empty();
}

bool is_passing_name(std::string_view name) { return name == "job.lock" || name.starts_with("cache/"); }

bool SeenNames::add_folders_above(const std::string& folded) {
    for (auto slash = folded.find('/'); slash != folded.npos; slash = folded.find('/', slash + 1)) {
        const auto above = folded.substr(0, slash);
        if (files_.contains(above)) return false;
        folders_.insert(above);
    }
    return true;
}

bool SeenNames::add_file(const std::string& name) {
    const auto folded = folded_name(name);
    return add_folders_above(folded) && !folders_.contains(folded) && files_.insert(folded).second;
}

bool SeenNames::add_folder(const std::string& name) {
    const auto folded = folded_name(name);
    if (!add_folders_above(folded) || files_.contains(folded)) return false;
    folders_.insert(folded);  // a folder that is named twice is one folder
    return true;
}

}  // namespace cranknote::job
