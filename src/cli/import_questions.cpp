#include "cli/import_questions.hpp"

#include <algorithm>
#include <istream>
#include <map>
#include <ostream>
#include <string>

#include "cli/values.hpp"
#include "figure/utf8.hpp"

namespace cranknote::cli {
namespace {

/// Absent at the end of what is typed.
std::optional<std::string> answer(std::istream& in, std::ostream& out, const std::string& question) {
    out << question << " " << std::flush;
    std::string line;
    if (!std::getline(in, line)) return std::nullopt;
    return clean_line(line);
}

std::vector<std::string> names_in(const std::string& typed) {
    std::vector<std::string> names;
    for (std::size_t at = 0; at <= typed.size();) {
        const auto comma = std::min(typed.find(',', at), typed.size());
        if (auto name = clean_line(typed.substr(at, comma - at)); !name.empty())
            names.push_back(std::move(name));
        at = comma + 1;
    }
    return names;
}

/// What is off in the states that were answered for so far.
using Answered = std::map<std::string, std::vector<std::string>>;

/// False at the end of what is typed.
bool ask_one(std::size_t number, job::Suggestion& s, Answered& answered, std::istream& in,
             std::ostream& out) {
    auto& a = s.addition;
    const bool sure = s.why_not.empty();
    const auto state = answer(
        in, out, std::to_string(number) + ": which state? Enter for \"" + a.state + "\", - to leave it out:");
    if (!state) return false;
    if (*state == "-") {
        s.why_not = "left out";
        return true;
    }
    const bool other = !state->empty() && *state != a.state;
    if (other) {
        auto recording = a.recording;
        a = {};
        a.state = *state;
        a.recording = recording;
    }
    s.why_not.clear();
    if (const auto known = answered.find(a.state); known != answered.end()) {
        a.off = known->second;
        return true;
    }
    if ((other || !sure) && a.state != job::first_state) {
        const auto off = answer(in, out, "   what is off in it? Names with commas, Enter for nothing:");
        if (!off) return false;
        a.off = names_in(*off);
    }
    answered[a.state] = a.off;
    return true;
}

}  // namespace

bool ask_about(const job::Found& found, std::vector<job::Suggestion>& suggestions, std::istream& in,
               std::ostream& out) {
    Answered answered;
    for (std::size_t i = 0; i < found.sounds.size(); ++i) {
        auto& s = suggestions[i];
        if (s.addition.state.empty()) continue;  // not for adding at all
        if (!ask_one(i + 1, s, answered, in, out)) return false;
    }
    const auto count = std::ranges::count_if(suggestions, [](const auto& s) { return s.why_not.empty(); });
    if (count == 0) return false;
    const auto yes =
        answer(in, out,
               "Add " + std::to_string(count) + (count == 1 ? " recording" : " recordings") + "? yes or no:");
    return yes && (*yes == "yes" || *yes == "y");
}

}  // namespace cranknote::cli
