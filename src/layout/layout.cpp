#include "layout/layout.hpp"

#include <algorithm>

namespace cranknote {

namespace {

template <class T>
const T* find_named(const std::vector<T>& things, std::string_view name) {
    const auto it = std::find_if(things.begin(), things.end(), [&](const T& t) { return t.name == name; });
    return it == things.end() ? nullptr : &*it;
}

std::string lower(std::string_view text) {
    std::string out(text);
    for (auto& c : out)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return out;
}

/// Edit distance with swaps of neighbours (optimal string alignment: Damerau 1964).
std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> before(b.size() + 1), last(b.size() + 1), now(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) last[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        now[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t differs = a[i - 1] == b[j - 1] ? 0 : 1;
            now[j] = std::min({last[j] + 1, now[j - 1] + 1, last[j - 1] + differs});
            const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if (swapped) now[j] = std::min(now[j], before[j - 2] + 1);
        }
        before.swap(last);
        last.swap(now);
    }
    return last[b.size()];
}

/// The one valid name that holds the typed text, or that the typed text holds ("shroud": "fan shroud").
std::string only_one_with(const std::string& typed, const std::vector<std::string>& valid) {
    std::string found;
    for (const auto& name : valid) {
        const auto low = lower(name);
        const bool holds = low.find(typed) != std::string::npos || typed.find(low) != std::string::npos;
        if (!holds || low.size() < 3) continue;
        if (!found.empty()) return {};
        found = name;
    }
    return found;
}

}  // namespace

const Drive* Layout::drive(std::string_view n) const { return find_named(drives, n); }
const Part* Layout::part(std::string_view n) const { return find_named(parts, n); }
const Cover* Layout::cover(std::string_view n) const { return find_named(covers, n); }
const Pull* Layout::pull(std::string_view n) const { return find_named(pulls, n); }

std::vector<std::string> names_of(const Layout& layout) {
    std::vector<std::string> names;
    for (const auto& p : layout.parts) names.push_back(p.name);
    for (const auto& d : layout.drives) names.push_back(d.name);
    for (const auto& c : layout.covers) names.push_back(c.name);
    for (const auto& p : layout.pulls) names.push_back(p.name);
    names.insert(names.end(), engine_names.begin(), engine_names.end());
    return names;
}

std::string nearest_name(std::string_view typed_as, const std::vector<std::string>& valid) {
    constexpr std::size_t longest = 100;  // longer than any valid name
    if (typed_as.empty() || typed_as.size() > longest) return {};
    const auto typed = lower(typed_as);
    std::string best;
    std::size_t best_distance = typed.size() / 3 + 1;  // one slip in three letters, and one for good will
    for (const auto& name : valid) {
        if (name.size() > longest) continue;
        const auto distance = edit_distance(typed, lower(name));
        const bool anything_left = distance < std::max(typed.size(), name.size());
        if (anything_left && distance < best_distance + (best.empty() ? 1 : 0)) {
            best = name;
            best_distance = distance;
        }
    }
    if (!best.empty() || typed.size() < 3) return best;
    return only_one_with(typed, valid);
}

}  // namespace cranknote
