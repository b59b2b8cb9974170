#include "job/import_names.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <string_view>

#include "figure/utf8.hpp"
#include "job/import.hpp"

namespace cranknote::job {
namespace {

std::string lower(std::string text) {
    for (char& c : text)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return text;
}

bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || static_cast<unsigned char>(c) >= 0x80;
}

/// Runs of letters, in small letters.
std::vector<std::string> words_of(const std::string& text) {
    std::vector<std::string> words;
    bool inside = false;
    for (const char c : lower(text)) {
        if (!is_letter(c)) {
            inside = false;
            continue;
        }
        if (!inside) words.emplace_back();
        words.back() += c;
        inside = true;
    }
    return words;
}

/// Words around what is looked for must end there: "fan" is not in "fancy".
bool says(const std::string& text, const std::string& phrase) {
    for (auto at = text.find(phrase); at != text.npos; at = text.find(phrase, at + 1)) {
        const auto end = at + phrase.size();
        if ((at == 0 || !is_letter(text[at - 1])) && (end == text.size() || !is_letter(text[end])))
            return true;
    }
    return false;
}

template <std::size_t n>
bool says_any(const std::string& text, const std::array<std::string_view, n>& phrases) {
    return std::ranges::any_of(phrases, [&](auto phrase) { return says(text, std::string(phrase)); });
}

/// Without a counter at the end: "fan off (2)", "fan off 2", "fan off_2", "fan off again" -> "fan off".
std::string without_counter(std::string text) {
    constexpr std::string_view ends = " ()_-0123456789";
    const auto cut = [&] {
        while (!text.empty() && ends.find(text.back()) != ends.npos) text.pop_back();
    };
    cut();
    constexpr std::string_view again = " again";
    if (lower(text).ends_with(again)) text.resize(text.size() - again.size());
    cut();
    return text;
}

/// The longest names first, so that "fan belt off" is not read as "fan".
std::vector<std::string> off_in(const std::string& words, const Layout& layout) {
    for (const auto& pull : layout.pulls)
        if (says(words, lower(pull.name))) return {pull.name};
    std::vector<std::string> off;
    auto names = names_of(layout);
    std::ranges::sort(names, {}, [](const auto& name) { return -static_cast<std::ptrdiff_t>(name.size()); });
    std::string rest = words;
    for (const auto& name : names) {
        const auto phrase = lower(name) + " off";
        const auto at = rest.find(phrase);
        if (at == rest.npos || !says(rest, phrase)) continue;
        off.push_back(name);
        rest.erase(at, phrase.size());
    }
    return off;
}

}  // namespace

bool is_voice_message_name(const std::string& stem) {
    constexpr std::array<std::string_view, 6> phrases{"ptt",      "voice message", "voicemessage",
                                                      "voicemsg", "voice msg",     "sprachnachricht"};
    std::string words = lower(stem);
    std::ranges::replace_if(
        words, [](char c) { return c == '_' || c == '-'; }, ' ');
    return says_any(words, phrases);
}

bool is_telling(const std::string& stem) {
    constexpr std::array<std::string_view, 22> of_a_phone{
        "rec",  "recording",      "record", "img", "vid",  "video", "mov",  "movie",   "audio",     "voice",
        "memo", "sound",          "track",  "new", "file", "copy",  "clip", "message", "dictation", "msg",
        "ptt",  "sprachnachricht"};
    const auto words = words_of(stem);
    return std::ranges::any_of(words, [&](const std::string& word) {
        return word.size() >= 3 && std::ranges::find(of_a_phone, word) == of_a_phone.end();
    });
}

Told told_by(const std::string& stem, const Layout* layout) {
    constexpr std::array<std::string_view, 7> repairs{"repaired", "fixed",    "realigned",   "renewed",
                                                      "replaced", "adjusted", "after repair"};
    Told told;
    auto text = stem;
    std::ranges::replace(text, '_', ' ');
    const auto words = lower(text);
    auto& a = told.addition;
    a.state = clean_line(without_counter(text.substr(0, text.find(','))));
    if (layout != nullptr) a.off = off_in(words, *layout);
    told.off_known = !a.off.empty() || !(says(words, "off") || says(words, "without"));
    for (const auto check : checks) {
        auto spaced = std::string(check);
        std::ranges::replace(spaced, '-', ' ');
        if (says(words, std::string(check)) || says(words, spaced)) a.with.emplace_back(check);
    }
    a.repaired = says_any(words, repairs);
    if (says(words, "cold")) a.recording.coolant = Warmth::cold;
    if (says(words, "warm") || says(words, "hot")) a.recording.coolant = Warmth::warm;
    if (says(words, "cold") && says(words, "warm")) a.recording.coolant = std::nullopt;
    return told;
}

}  // namespace cranknote::job
