#include "desk/suit.hpp"

#include <utility>

namespace cranknote::desk {

namespace {

constexpr double names_axes = 430.0, tall_flags = 360.0, two_panels = 215.0, wide_flags = 480.0;

std::string joined(const std::vector<std::string>& lines, const char* between) {
    std::string text;
    for (const auto& line : lines) text += (text.empty() ? "" : between) + line;
    return text;
}

template <class Change>
void each_callout(figure::Figure& figure, Change change) {
    for (auto& panel : figure.panels)
        for (auto& element : panel.elements)
            if (auto* name = std::get_if<figure::Callout>(&element)) change(*name);
}

}  // namespace

void suit(figure::Figure& figure, figure::Size size, Keep keep) {
    auto& panels = figure.panels;
    if (size.height < two_panels && panels.size() > 1)
        panels = {keep == Keep::first ? std::move(panels.front()) : std::move(panels.back())};
    for (auto& panel : panels) {
        if (size.height < names_axes) panel.x.label.clear();
        if (size.height >= tall_flags) continue;
        for (auto& element : panel.elements)
            if (auto* flag = std::get_if<figure::Flag>(&element))
                flag->lines = {size.width < wide_flags ? flag->lines.front() : joined(flag->lines, ", ")};
    }
}

void join_names(figure::Figure& figure) {
    each_callout(figure, [](figure::Callout& name) { name.lines = {joined(name.lines, "  ")}; });
}

std::string turns_in(const std::string& line) {
    const std::string times = "\u00d7";
    const auto end = line.find(times);
    if (end == std::string::npos) return "";
    const auto space = line.rfind(' ', end);
    const auto from = space == std::string::npos ? 0 : space + 1;
    return line.substr(from, end + times.size() - from);
}

void shorten_names(figure::Figure& figure) {
    each_callout(figure, [](figure::Callout& name) {
        std::vector<std::string> kept{name.lines.front()};
        for (std::size_t i = 1; i < name.lines.size(); ++i) {
            const auto turns = turns_in(name.lines[i]);
            const bool stands = name.ink == figure::Ink::ghost;  // off or still: that alone is said
            kept.push_back(stands || turns.empty() ? name.lines[i].substr(0, name.lines[i].find(" \u00b7 "))
                                                   : turns);
        }
        name.lines = std::move(kept);
    });
}

}  // namespace cranknote::desk
